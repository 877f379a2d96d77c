"""Which turns fire, and how fully they burn."""
from dataclasses import dataclass

import torch

from .draw import Draw

STATES = 8
"""Memory of the firing: one, two, three, four and more fires in a row, then the same of skips."""
REGIMES = 24
"""Ways of running that a clip may pass through."""


@dataclass(frozen=True)
class Firing:
    burn: torch.Tensor
    """Share of the charge burnt, [clips, turns]."""
    dead: torch.Tensor
    """True where nothing is meant to fire, [clips, turns]."""


def regimes(draw: Draw, slow: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """Tables of the chance to fire by memory, [clips, REGIMES, STATES]; where nothing fires; where burning is a continuum.

    slow: clips that run at the speed of idling, [clips, 1]: there one firing in a few turns is the rule.
    """
    shape = (draw.clips, REGIMES)
    u = lambda low, high: torch.rand(shape, device=draw.device) * (high - low) + low
    # Some clips keep strictly to their pattern and never change it: nothing but the sound itself tells them from their twin.
    strict = draw.chance(0.15)
    # Two patterns of three are kept without a fault for as long as they last.
    faulty = ~strict & (torch.rand(shape, device=draw.device) < 1 / 3)
    low, high = torch.where(faulty, u(0, 0.06), 0.0), torch.where(faulty, 1 - u(0, 0.06), 1.0)
    kind = torch.randint(0, 100, shape, device=draw.device)
    idling = slow & (torch.rand(shape, device=draw.device) < 0.45)
    kind = torch.where(idling, torch.randint(94, 98, shape, device=draw.device), kind)
    kind = torch.where(strict, kind[:, :1].expand(shape), kind)
    table = torch.zeros(*shape, STATES, device=draw.device)

    def put(where: torch.Tensor, chances: list) -> None:
        for state, p in enumerate(chances):
            table[..., state] = torch.where(where, p, table[..., state])

    between = lambda a, b: (kind >= a) & (kind < b)
    put(kind >= 0, [high] * 8)  # every turn
    put(between(48, 62), [low, low, low, low, high, high, high, high])  # every other
    put(between(62, 70), [low, low, low, low, low, high, high, high])  # one of three
    put(between(70, 75), [low, low, low, low, low, low, high, high])  # one of four
    put(between(75, 81), [high, low, low, low, high, high, high, high])  # two of three
    put(between(81, 84), [high, high, low, low, high, high, high, high])  # three of four
    put(between(84, 89), [u(0.4, 0.98)] * 8)  # now and then
    put(between(89, 92), [u(0, 1) for _ in range(8)])  # irregular, with memory
    put(between(94, 98), [low, low, low, low, u(0, 0.15), u(0, 0.4), u(0.1, 0.6), u(0.12, 0.7)])  # idle
    put(kind >= 98, [u(0, 0.01)] * 8)  # not at all
    return table, kind >= 98, between(92, 94) | (between(84, 89) & draw.chance(0.25))


def fire(draw: Draw, turn_s: torch.Tensor, slow: torch.Tensor, closed: torch.Tensor) -> Firing:
    """Draws every turn of every clip.

    turn_s: length of the turns, [clips, turns]; closed: turns with the throttle closed, where nothing fires
    """
    ways = regimes(draw, slow)
    # Four riders of nine hold the engine where it is: it runs in one way for all of the clip.
    lasts_s = draw.either(0.45, 1e3, draw.log_uniform(0.2, 8))
    regime = (torch.rand_like(turn_s) < turn_s / lasts_s).long().cumsum(1) % REGIMES
    return burnt(draw, ways, regime, closed)


def burnt(
    draw: Draw,
    ways: tuple[torch.Tensor, torch.Tensor, torch.Tensor],
    regime: torch.Tensor,
    closed: torch.Tensor,
) -> Firing:
    """Draws every turn, given the way of running that it belongs to: index into the tables of `regimes`, [clips, turns]."""
    table, dead, continuum = ways
    turns = regime.shape[1]
    # The regimes of a strict clip are all alike but for chance numbers that it does not use.
    chance = table.gather(1, regime[..., None].expand(-1, -1, STATES))
    drawn = torch.rand_like(chance[..., 0])
    # Every turn maps the memory onto a new one; maps are composed by doubling, so that no loop runs over turns.
    state = torch.arange(STATES, device=draw.device)
    fired_to = torch.where(state < 4, (state + 1).clamp_max(3), torch.zeros_like(state))
    skipped_to = torch.where(state >= 4, (state + 1).clamp_max(7), torch.full_like(state, 4))
    steps = torch.where(drawn[..., None] < chance, fired_to, skipped_to)
    span = 1
    while span < turns:
        steps = torch.cat([steps[:, :span], steps[:, span:].gather(2, steps[:, :-span])], 1)
        span *= 2
    start = torch.zeros(draw.clips, 1, dtype=torch.long, device=draw.device)
    before = torch.cat([start, steps[:, :-1, 0]], 1)
    fired = drawn < chance.gather(2, before[..., None])[..., 0]
    scatter = draw.either(0.2, draw.log_uniform(0.1, 0.3), draw.log_uniform(0.01, 0.1))
    short = draw.normal(turns).abs() * scatter
    burn = torch.where(fired, 1 - short, short).clamp(0, 1)
    # A continuum: neighbouring turns burn alike, or not, and anything between nothing and all.
    spread, middle = draw.uniform(0.1, 0.45), draw.uniform(0.2, 0.9)
    mixed = (middle + spread * (0.6 * draw.normal(turns) + 0.8 * draw.walk(turns, 60))).clamp(0, 1)
    burn = torch.where(continuum.gather(1, regime), mixed, burn)
    none = dead.gather(1, regime) | closed
    return Firing(torch.where(none, burn * 0.02, burn), none)
