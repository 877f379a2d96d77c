"""Several clips of one engine before a change and several after it: what comparisons are fitted to."""
from dataclasses import dataclass

import torch

from . import crank, firing
from .draw import RATE, Draw
from .engine import Turns, surging, voice
from .others import Bank
from .phone import recorded
from .place import placed


@dataclass(frozen=True)
class Change:
    waves: torch.Tensor
    """Sound at 16 kHz, [engines, 2 sides, n]; a side is one ride, to be cut into clips."""
    turns: Turns
    """Times from the start of the first side."""
    skipping: torch.Tensor
    """True where the engine is in its way of skipping, [engines, turns]."""
    shares: torch.Tensor
    """Share of the turns that it skips in this way in the long run, [engines, 2 sides]."""


def changes(count: int, side_s: float, clips: int, banks: dict[str, Bank]) -> Change:
    """Draws engines and pipes, each heard before and after a change: each side has a phone, a place and noises of its own.

    side_s: seconds of a side; clips: of a side, whose shares differ a little, as rides with an unchanged engine do
    """
    draw = Draw(count, "cpu")
    seconds = 2 * side_s
    n = int(seconds * RATE)
    c = crank.turns_at(draw, cruise(draw, seconds), seconds)
    ways, skips, clean = two_ways(draw, c.slow)
    # Half are left as they were; the others change by up to all that there is room for.
    first, other = draw.either(0.25, 0.0 * skips, draw.uniform(0, 1)), draw.uniform(0, 1)
    shares = torch.cat([first, draw.either(0.5, first, other)], 1)
    shares = torch.where(draw.chance(0.5), shares, shares.flip(1))
    # Rides with an unchanged engine differ: less where it hardly ever or nearly always skips.
    clip = (c.start_s / side_s * clips).long().clamp(0, 2 * clips - 1)
    rides = draw.uniform(0, 0.03) * draw.normal(2 * clips)
    now = shares.gather(1, clip // clips)
    now = (now + rides.gather(1, clip) * (4 * now * (1 - now)).clamp(0, 1)).clamp(0, 1)
    # A state lasts some tens of turns, as in real recordings.
    spell = (torch.rand_like(c.turn_s) < 1 / draw.log_uniform(10, 100)).long().cumsum(1)
    skipping = torch.rand_like(c.turn_s).gather(1, spell) < now
    f = firing.burnt(draw, ways, torch.where(skipping, skips, clean), torch.zeros_like(c.closed))
    at, length = surging(draw, c, f)
    x = voice(draw, n, at, length, c.slow, f, torch.ones_like(at), c.inside)
    sides = [heard(x[:, k * n // 2 : (k + 1) * n // 2], banks) for k in range(2)]
    return Change(torch.stack(sides, 1), Turns(at, length, f.burn, f.dead, c.inside), skipping, shares)


def heard(x: torch.Tensor, banks: dict[str, Bank]) -> torch.Tensor:
    draw = Draw(len(x), "cpu")
    x = x / x.square().mean(1, keepdim=True).sqrt().clamp_min(1e-6)
    return torch.nan_to_num(recorded(draw, placed(draw, x, torch.zeros(len(x), dtype=torch.bool), banks)))


def cruise(draw: Draw, seconds: float) -> torch.Tensor:
    """Turns a second, at CURVE_RATE points a second, of riders who hold one speed as well as they can."""
    n = int(seconds * crank.CURVE_RATE) + 200
    wander = draw.walk(n, int(seconds)) * draw.log_uniform(0.001, 0.03)
    return (draw.log_uniform(25, 200) * (1 + wander)).clamp(crank.LOWEST_HZ, crank.HIGHEST_HZ)


def two_ways(draw: Draw, slow: torch.Tensor):
    """Tables of `firing.regimes`, and which of them is a way of skipping and which fires every turn, [engines, 1] each."""
    table, dead, continuum = firing.regimes(draw, slow)
    every = (table.amin(2) > 0.9) & ~continuum
    # Engines that only ever run in one way are given the other.
    skips = (~every & ~dead & ~continuum).float().argmax(1, keepdim=True)
    clean = every.float().argmax(1, keepdim=True)
    clean = torch.where(every.any(1, keepdim=True), clean, torch.full_like(clean, firing.REGIMES - 1))
    table[:, -1] = torch.where(every.any(1, keepdim=True), table[:, -1], 1.0)
    dead[:, -1] &= every.any(1)
    continuum[:, -1] &= every.any(1)
    return (table, dead, continuum), skips, clean
