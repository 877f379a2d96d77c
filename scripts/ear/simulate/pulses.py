"""Shapes of single pulses and the answer of pipes."""
import math

import torch

from .draw import RATE, Draw, rung

PULSE = 1024
"""Samples of a pulse."""


def pulse(draw: Draw) -> torch.Tensor:
    """A pressure pulse of unit energy: a steep front, a rarefaction behind it, an echo; [clips, PULSE]."""
    return pulses(draw)[0]


def pulses(draw: Draw) -> tuple[torch.Tensor, torch.Tensor]:
    """The pulse of a turn that fired, and of one that did not: all is as in the first, but the front is less steep, in most."""
    t = draw.seconds(PULSE)
    rise, steep = draw.uniform(0.2, 1.5), draw.log_uniform(0.00006, 0.001)
    back_s, late_s = draw.log_uniform(0.0006, 0.004), draw.log_uniform(0.0003, 0.003)
    sucks, echoes = draw.uniform(-0.2, 0.9), draw.uniform(-0.5, 0.5)

    def hump(tau: torch.Tensor) -> torch.Tensor:
        return (t / tau) ** rise * torch.exp(rise - t / tau)

    def shape(front_s: torch.Tensor, sucks: torch.Tensor) -> torch.Tensor:
        late = torch.roll(hump(late_s), 40, 1)
        late[:, :40] = 0
        return unit_energy(hump(front_s) - 0.5 * sucks * hump(back_s) + echoes * late)

    return shape(steep, sucks), shape(steep * draw.either(0.75, draw.log_uniform(1.15, 4), draw.log_uniform(0.5, 1.5)), sucks * draw.uniform(0.3, 1.4))


def unit_energy(x: torch.Tensor) -> torch.Tensor:
    return x / x.square().sum(1, keepdim=True).sqrt().clamp_min(1e-9)


def strayed(draw: Draw, model: torch.Tensor) -> torch.Tensor:
    """A pulse that is like another: in most clips so much that only their order tells, in some nothing like it."""
    close = draw.chance(0.65)
    apart = torch.where(close, draw.log_uniform(0.015, 0.45), draw.uniform(0.1, 1))
    other = torch.where(close, 1.0, draw.sign()) * pulse(draw)
    return unit_energy((1 - apart) * model + (1 - (1 - apart).square()).clamp_min(0).sqrt() * other)


def pipes(draw: Draw, n: int = 3000) -> tuple[torch.Tensor, torch.Tensor]:
    """Direct sound and the resonances of a pipe, hot after a firing and cooler, [clips, n] each.

    Sound is slower in cooler gas: by a tenth, where it has a fifth less of its absolute temperature.
    """
    slower = draw.either(0.3, draw.uniform(0.88, 1), 1.0)
    hot, cold = resonances(draw, n, torch.ones_like(slower), slower)
    return hot, cold


def pipe(draw: Draw, n: int = 3000) -> torch.Tensor:
    """Direct sound and the resonances of a pipe that keeps its temperature, [clips, n]."""
    return resonances(draw, n, torch.ones(draw.clips, 1, device=draw.device))[0]


def resonances(draw: Draw, n: int, *pitches: torch.Tensor) -> list[torch.Tensor]:
    """Direct sound and the resonances of a pipe, open or closed, once for each pitch: factors on all its frequencies, [clips, 1]."""
    t = draw.seconds(n)
    rings = [torch.zeros(draw.clips, n, device=draw.device) for _ in pitches]
    lowest, odd, quality = draw.log_uniform(70, 420), draw.chance(0.5), draw.log_uniform(2, 18)
    for m in range(1, 8):
        hz = lowest * torch.where(odd, 2.0 * m - 1, float(m)) * (1 + 0.04 * draw.normal(1))
        begin, strong = draw.uniform(0, 6.3), draw.log_uniform(0.2, 1) / m**0.4 * (hz < RATE / 2.2)
        dies = torch.exp(-math.pi * hz / quality * t)
        for ring, pitch in zip(rings, pitches):
            ring += strong * torch.sin(2 * math.pi * hz * pitch * t + begin) * dies
    gain = draw.log_uniform(0.03, 1) / rings[0].abs().amax(1, keepdim=True)
    for ring in rings:
        ring *= gain
        ring[:, 0] += 1
    return rings


def inlet(draw: Draw, n: int = 3000) -> torch.Tensor:
    """What an inlet makes of its own pulse: as it is, or sung on one note of its own, which may be all that is heard, [clips, n]."""
    t = draw.seconds(n)
    hz, quality = draw.log_uniform(120, 2500), draw.log_uniform(1.5, 22)
    note = unit_energy(torch.sin(2 * math.pi * hz * t + draw.uniform(0, 6.3)) * torch.exp(-math.pi * hz / quality * t))
    answer = note * draw.either(0.6, draw.decibels(-18, 15), 0.0)
    answer[:, 0] += 1
    return draw.sign() * unit_energy(answer)


def muffler(draw: Draw, n: int = 600) -> torch.Tensor:
    """What chambers and packing make of a pulse: three engines of five have none to speak of; else it comes out rounder, in parts of
    which a later one may be the strongest; [clips, n], of unit energy. It begins when the pulse arrives; its peak comes up to 1.8 ms later.
    """
    t = draw.seconds(n)
    round_s, order = draw.log_uniform(0.00008, 0.0007), draw.uniform(0, 2.5)
    hump = (t / round_s) ** order * torch.exp(order - t / round_s)
    parts = torch.zeros_like(hump)
    parts[:, 0] = 1
    for _ in range(3):
        parts.scatter_add_(1, draw.integer(4, 90), draw.either(0.6, draw.decibels(-14, 6) * draw.sign(), 0.0))
    none = torch.zeros_like(hump)
    none[:, 0] = 1
    return unit_energy(draw.either(0.4, rung(parts, hump), none))


def ping(draw: Draw, n: int = 1600) -> torch.Tensor:
    """Metal struck: two resonances above 700 Hz that die away, [clips, n]."""
    t = draw.seconds(n)
    low, high = draw.log_uniform(700, 4000), draw.log_uniform(1500, 7000)
    dies = torch.exp(-t / draw.log_uniform(0.001, 0.02))
    return unit_energy((torch.sin(2 * math.pi * low * t) + draw.uniform(0, 1) * torch.sin(2 * math.pi * high * t)) * dies)
