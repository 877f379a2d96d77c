"""The engine: its sound at the microphone, outdoors and alone, and the truth of every millisecond."""
import math
from dataclasses import dataclass

import torch

from . import crank, firing
from .draw import RATE, Draw, band, interpolate, rung, smooth, spikes, unit
from .pulses import inlet, muffler, ping, pipes, pulse, pulses, strayed

SOUND_MS = 343.0
FREE_HZ = 80.0
"""Crank speed at which the jumps of an engine that runs free are drawn."""


@dataclass(frozen=True)
class Truth:
    """What is so in every millisecond, [clips, milliseconds] each."""

    engine: torch.Tensor
    """An engine turns, bool."""
    phase: torch.Tensor
    """Share of the turn that has passed since its exhaust pulse arrived, 0-1."""
    speed_hz: torch.Tensor
    """Turns a second as heard, mean of five turns."""
    burn: torch.Tensor
    """Share of the charge burnt in the present turn, 0-1."""
    dead: torch.Tensor
    """Nothing is meant to fire, bool."""


@dataclass(frozen=True)
class Turns:
    """The turns behind the truth, [clips, turns] each: for those who score whole clips."""

    at_s: torch.Tensor
    length_s: torch.Tensor
    burn: torch.Tensor
    dead: torch.Tensor
    sounds: torch.Tensor


def engine(draw: Draw, n: int) -> tuple[torch.Tensor, Truth, Turns]:
    """Sound [clips, n] and truth of engines that run for all of the clip or a part of it."""
    seconds = n / RATE
    c = crank.turn(draw, seconds)
    f = firing.fire(draw, c.turn_s, c.slow, c.closed)
    at, length = surging(draw, c, f)
    # Passing by: the sound travels a changing way.
    passes = draw.chance(0.15)
    nearest, moment = draw.uniform(2, 8), draw.uniform(0.2, 0.8) * seconds
    way = torch.sqrt(nearest**2 + (draw.uniform(3, 14) * (at - moment)) ** 2)
    at = torch.where(passes, at + (way - nearest) / SOUND_MS, at)
    near = torch.where(passes, nearest / way, 1.0)
    # Some start or stop within the clip.
    part, ends, cut = draw.chance(0.2), draw.chance(0.5), draw.uniform(0.15, 0.85) * seconds
    begin_s, end_s = torch.where(part & ~ends, cut, -9.0), torch.where(part & ends, cut, seconds + 9)
    sounds = (at >= begin_s) & (at < end_s) & c.inside

    x = voice(draw, n, at, length, c.slow, f, near, sounds)
    frames = int(seconds * 1000)
    time = ((torch.arange(frames, device=draw.device) + 0.5) / 1000)[None].expand(draw.clips, -1).contiguous()
    i = (torch.searchsorted(at.contiguous(), time) - 1).clamp(0, at.shape[1] - 2)
    heard = torch.diff(at, dim=1)
    mean = torch.nn.functional.pad(heard[:, None], (2, 2), mode="replicate")
    mean = torch.nn.functional.avg_pool1d(mean, 5, 1)[:, 0]
    last = torch.where(sounds, at, torch.full_like(at, -1)).amax(1, keepdim=True)
    truth = Truth(
        engine=sounds.gather(1, i) & (time < last),
        phase=((time - at.gather(1, i)) / heard.gather(1, i).clamp_min(1e-4)).clamp(0, 1),
        speed_hz=1 / mean.gather(1, i).clamp(1 / 262, 1 / 14),
        burn=f.burn.gather(1, i),
        dead=f.dead.gather(1, i),
    )
    return x, truth, Turns(at, length, f.burn, f.dead, sounds)


def surging(draw: Draw, c: crank.Crank, f: firing.Firing) -> tuple[torch.Tensor, torch.Tensor]:
    """When turns begin and how long they are, [clips, turns]: a firing speeds the crank up, a skip lets it slow down.

    An engine of 70 cc gives about 30 J a firing; a flywheel of 0.003 kg m² holds 180 J at 3,500 rpm, so that a firing after
    skips makes it 8 % faster, the less the faster it turns. What is geared to a moving vehicle hardly feels it.
    """
    free = draw.either(0.6, draw.log_uniform(0.005, 0.07), draw.log_uniform(0.0005, 0.005))
    jump = (free * (FREE_HZ * c.turn_s.median(1, keepdim=True)[0]) ** 2).clamp_max(0.15)
    lasts = draw.log_uniform(1, 10)
    drive = (smooth(f.burn, lasts, 1) - smooth(f.burn, torch.full_like(jump, 25), 1)) / (1 - torch.exp(-1 / lasts))
    length = c.turn_s * torch.exp(-(jump * drive).clamp(-0.3, 0.3))
    return c.start_s[:, :1] + torch.cat([torch.zeros_like(jump), length.cumsum(1)[:, :-1]], 1), length


def voice(
    draw: Draw,
    n: int,
    at: torch.Tensor,
    length: torch.Tensor,
    slow: torch.Tensor,
    f: firing.Firing,
    near: torch.Tensor,
    sounds: torch.Tensor,
) -> torch.Tensor:
    """Everything that an engine says, [clips, n]."""
    turns = at.shape[1]
    burn = f.burn
    skipped = [1 - torch.roll(burn, k, 1) for k in (1, 2, 3)]
    fresh = skipped[0] * (1 + 0.6 * skipped[1] * (1 + 0.5 * skipped[2]))
    # A quarter of the engines run roughly: what differs from turn to turn jumps. In the others it drifts over a few turns.
    rough = draw.chance(0.25)
    scatter = torch.where(rough, draw.log_uniform(0.03, 0.2), draw.log_uniform(0.005, 0.12))
    drifts = torch.where(rough, draw.uniform(0, 0.5), draw.either(0.9, draw.uniform(0.6, 1), 0.0))
    drift_turns = draw.log_uniform(2, 8)
    # Seven of ten are plain: no turn differs from others by anything but what it burnt and by chance.
    plain = draw.chance(0.7)
    besides = torch.where(plain, 0.0, 1.0)

    def wander() -> torch.Tensor:
        slow = smooth(draw.normal(turns), drift_turns, 1)
        return drifts * unit(slow) + (1 - drifts.square()).sqrt() * draw.normal(turns)

    strength = lambda share: torch.exp(share * wander())
    load = torch.exp(0.25 * draw.walk(turns, 10) * draw.uniform(0, 1)) * near
    # With the throttle closed there is little to pump and nothing to burn.
    load = load * torch.where(f.dead & draw.chance(0.85), draw.decibels(-16, -2), 1.0)
    fired = burn ** draw.uniform(0.6, 1.6) * (1 + besides * draw.uniform(-0.05, 0.7) * fresh) * strength(scatter) * load
    # What burnt in the last turns fills the cylinder, the pipe and the case otherwise: what comes out, and what the ports say,
    # grows or fades from one firing to the next.
    lately = smooth(burn, draw.log_uniform(0.5, 6), 1)
    lately = besides * (lately - lately.mean(1, keepdim=True))
    unfired = (1 - burn) * torch.exp(draw.either(0.4, draw.uniform(-1.2, 1.2), 0.0) * lately) * strength(scatter * 1.4) * load
    every = torch.exp(draw.either(0.4, draw.uniform(-1.5, 1.5), 0.0) * lately) * strength(scatter) * load**0.5
    odd = wander() * load

    # Half of the engines run so evenly that a turn is like the next of its kind.
    even = torch.where(rough, 1.0, draw.either(0.6, draw.log_uniform(0.05, 0.6), 1.0))
    jitter = lambda: even * draw.log_uniform(0.001, 0.012) * wander() * length
    size = 1 << (n + 8000 - 1).bit_length()
    spectrum = lambda x: torch.fft.rfft(x, size)
    train = lambda when, how: spectrum(spikes(when, torch.where(sounds, how, torch.zeros_like(how)), n))
    burnt, pumped = pulses(draw)
    hot, cold = (spectrum(ring) for ring in pipes(draw))
    # What did not burn comes out with little less energy, but less steeply: both tell which kind of turn fired.
    skip_db = draw.either(0.65, draw.uniform(-6, 0.5), draw.uniform(-20, 0))
    # At idle little charge is there to come out.
    skip_db = torch.where(slow & draw.chance(0.4), draw.uniform(-32, -4), skip_db)
    skip_at = draw.either(0.5, draw.uniform(-0.03, 0.03), draw.uniform(-0.12, 0.12))
    # In a fifth of the engines most of the sound is what the ports say in every turn; burning adds to it.
    ported = draw.chance(0.2)
    skip_db = torch.where(ported & draw.chance(0.5), draw.uniform(-40, -15), skip_db)
    # With the throttle nearly closed, what the inlet draws through the gap may be louder than any firing.
    pump_db = torch.where(ported | (slow & draw.chance(0.3)), draw.uniform(0, 15), draw.uniform(-26, 4))
    pump_at = torch.where(ported & draw.chance(0.6), draw.uniform(-0.06, 0.06), draw.uniform(0, 1))
    before_at, odd_at = draw.uniform(0, 1), draw.uniform(0, 1)
    y = train(at + jitter(), fired) * spectrum(burnt) * hot
    y = y + 10 ** (skip_db / 20) * train(at + skip_at * length + jitter(), unfired) * spectrum(strayed(draw, pumped)) * cold
    before = besides * draw.decibels(-40, -8)
    y = y + before * train(torch.roll(at, -1, 1) + before_at * length, fired) * spectrum(pulse(draw)) * hot
    # What comes out differently in every turn, whatever it does.
    y = y + besides * even * draw.decibels(-40, -13) * train(at + odd_at * length, odd) * spectrum(pulse(draw)) * hot
    # The inlet has no muffler: its sound arrives at once.
    muffled = muffler(draw)
    y = y * spectrum(muffled)
    share = draw.uniform(0, 1)
    pump = 10 ** (pump_db / 20) * train(at + pump_at * length + jitter(), every) * spectrum(pulse(draw)) * spectrum(inlet(draw))
    x = torch.fft.irfft(y + pump * (share * cold + 1 - share), size)[:, :n]
    # An open pipe radiates the change of its flow: high orders come out stronger.
    x = torch.cat([x[:, :1], x[:, 1:] - draw.either(0.65, draw.uniform(0.7, 1), 0.0) * x[:, :-1]], 1)
    power = x.square().mean(1, keepdim=True).sqrt().clamp_min(1e-6)

    # Hiss that comes with the pulses: of the burnt gas, of the ports, of the skipped turns.
    loud = even * draw.log_uniform(0.02, 1)
    late = spectrum(muffled.abs() / muffled.abs().sum(1, keepdim=True))
    gusts = (
        (fired, torch.zeros_like(pump_at), loud, late),
        (every, pump_at, even * draw.either(0.7, draw.log_uniform(0.01, 0.4), 0.0), torch.ones_like(late)),
        (unfired, skip_at, loud * draw.either(0.9, draw.log_uniform(0.03, 0.9), 1.2), late),
    )
    rate = 1 / length.mean(1, keepdim=True)
    for how, phase, gain, way in gusts:
        lasts_s = draw.log_uniform(0.0005, 0.006)
        dies = torch.exp(-draw.seconds(600) / lasts_s)
        envelope = torch.fft.irfft(train(at + phase * length + jitter(), how) * spectrum(dies) * way, size)[:, :n]
        hiss = torch.fft.rfft(draw.normal(n)) * band(n, draw.log_uniform(200, 3000), draw.log_uniform(2500, 7900))
        # Unit power, did every turn hiss with strength one: rare turns hiss no louder than frequent ones.
        expected = (rate * lasts_s / 2 + (rate * lasts_s) ** 2).sqrt()
        x = x + gain * power * envelope * unit(torch.fft.irfft(hiss, n)) / expected
    # Loose parts: struck in some turns, harder and softer, firing or not.
    struck = (torch.rand_like(at) < draw.log_uniform(0.04, 1)).float() * strength(draw.uniform(0.1, 1.2)) * load**0.3
    parts = torch.fft.irfft(train(at + draw.uniform(0, 1) * length + jitter(), struck), size)[:, :n]
    x = x + besides * even * draw.either(0.25, draw.log_uniform(0.02, 0.5), 0.0) * power * levelled(rung(parts, ping(draw)))
    # Tones at multiples of the crank, whole or not: chains, fans, gears.
    count = torch.arange(turns, device=draw.device)[None].expand(draw.clips, -1).float()
    time = draw.seconds(n).expand(draw.clips, -1).contiguous()
    angle = interpolate(time, at.contiguous(), count)
    running = interpolate(time, at.contiguous(), sounds.float())
    for _ in range(2):
        order = draw.either(0.7, draw.uniform(3, 30).round(), draw.uniform(1.3, 20))
        tone = torch.sin(2 * math.pi * order * angle) * (1 + 0.5 * draw.walk(n, 30)) * running
        x = x + draw.either(0.5, draw.log_uniform(0.004, 0.15), 0.0) * power * tone
    return x


def levelled(x: torch.Tensor) -> torch.Tensor:
    return x / x.square().mean(1, keepdim=True).sqrt().clamp_min(1e-9)
