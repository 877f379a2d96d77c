"""The part of the ear that goes from turn to turn: what turns are told by, and the network that reads it.

What a single turn leaves open, the many tell. A turn's waveform is taken in 64 parts; what it has apart from the mean
of the nine turns about it is correlated with that of the turns near by. The correlations with the next eight show the rhythm;
and the log-odds that the first network gives are gathered from up to 24 turns on either side, each counting by how like it is:
turns of one kind are heard as one. These numbers go turn by turn through a few convolutions.

What comes out is then held against the waveforms: is there a direction in them along which it can be told again, by turns that did
not take part in finding it? And along which direction do they fall into two groups that lie furthest apart, whatever was thought of
them? The answers, large where the sound holds two kinds of turn and small where it holds one, are told to the same network, which
reads once more, and again.
"""
import math
from collections.abc import Callable
from dataclasses import dataclass

import torch
from torch import nn
from torch.nn import functional as F

from net import LEVEL_STEP, RATE_HZ, Block, inputs

POINTS, NEAR, LAGS, REACH, PARTS = 64, 4, 8, 24, 8
"""Parts of a waveform, turns on either side of a mean, turns ahead whose correlations are told one by one, turns on either side
that are gathered from, parts of a turn for log-odds."""
LIKENESS = LAGS + 7
STRENGTH, GAIN, SHIFT = LAGS, LAGS + 1, LAGS + 2
"""Places in a likeness."""
FIRST_TOLD = 2 * LIKENESS + PARTS
"""Place of what an earlier reading led to, zeros in the first."""
TOLD = 16
FEATURES = -(-(FIRST_TOLD + TOLD) // 8) * 8
"""Numbers to a turn, the last ones zeros."""
LARGEST = 3
SKETCH = 16
"""Parts of a waveform where a direction is sought in it."""
BLOCK, FOLDS, FOLD_TURNS = 384, 4, 8
"""Turns that a direction is sought over, about; turns are told without themselves: runs of eight, every fourth left out in turn."""
RIDGE, ROUNDS, STEEPNESS = 0.1, 3, 1.5
READINGS = 3
BEGINNINGS, GROUPINGS, SMALLEST = 8, 6, 0.05
"""Turns of a block that groups are begun from, besides three of its columns; times that two groups are formed anew; the least share
of the turns that is a group."""
ALIGN_POINTS, ALIGN_SMOOTH, ALIGN_MOST, ALIGN_ROUNDS = 32, 3, 0.15, 2
"""Parts of a turn by which it is laid against others, turns on either side that are smoothed over, most that one is moved, turns."""


class TurnReader(nn.Module):
    """Features [clips, FEATURES, turns] to log-odds that each turn fired, [clips, turns]."""

    def __init__(self, channels: int = 48, dilations: tuple[int, ...] = (1, 2, 4, 8, 2, 1)):
        super().__init__()
        self.norm = nn.BatchNorm1d(FEATURES, affine=False)
        self.enter = nn.Conv1d(FEATURES, channels, 1)
        self.blocks = nn.Sequential(*(Block(channels, dilation=d) for d in dilations))
        self.out = nn.Conv1d(channels, 1, 1)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        return self.out(self.blocks(self.enter(self.norm(x))))[:, 0]

    @torch.no_grad()
    def settled(self) -> "TurnReader":
        """The same network with the normalisation of its features folded into the first layer, as it is shipped."""
        gain = torch.rsqrt(self.norm.running_var + self.norm.eps)
        self.enter.bias -= (self.enter.weight[:, :, 0] * gain * self.norm.running_mean).sum(1)
        self.enter.weight *= gain[None, :, None]
        # What fills the features up is always 0; its huge gains would leave the other weights no digits.
        self.enter.weight[:, FIRST_TOLD + TOLD :] = 0
        self.norm = nn.Identity()
        return self.eval()


def parts_of(values: torch.Tensor, begin: torch.Tensor, length: torch.Tensor, parts: int, rate_hz: int) -> torch.Tensor:
    """Means of values [clips, n] over equal parts of each turn, [clips, turns, parts]; begin and length in seconds."""
    total = F.pad(values.double().cumsum(1), (1, 0))
    share = torch.arange(parts + 1, device=values.device) / parts
    edges = ((begin[..., None] + length[..., None] * share).double() * rate_hz).clamp(0, values.shape[1] - 1e-6)
    whole = edges.long()
    pick = lambda x: x.gather(1, whole.flatten(1)).view_as(edges)
    at = pick(total) + (edges - whole) * pick(values.double())
    return (at.diff(dim=2) / edges.diff(dim=2).clamp_min(1e-3)).float()


def aligned(
    sound: torch.Tensor, begin: torch.Tensor, length: torch.Tensor, there: torch.Tensor
) -> tuple[torch.Tensor, torch.Tensor]:
    """Turns [clips, turns] as they are cut before they are heard: so that their waveforms lie best on one another."""
    start = torch.cat([begin, begin[:, -1:] + length[:, -1:]], 1).double()
    most = ALIGN_MOST * (start[:, -1:] - start[:, :1]) / begin.shape[1]
    window = hann(ALIGN_SMOOTH, start)
    # Beyond the last turn all is as in the last.
    held = torch.minimum(torch.arange(begin.shape[1], device=begin.device)[None], (there.sum(1, keepdim=True) - 1).clamp_min(0).long())
    edges = start
    for _ in range(ALIGN_ROUNDS):
        p = parts_of(sound, edges[:, :-1], edges.diff(dim=1), ALIGN_POINTS, RATE_HZ)
        mean = near_by(p, there, REACH)
        slope = torch.gradient(mean, dim=2)[0]
        late = (-((p - mean) * slope).sum(2) / (slope.square().sum(2) + 1e-9)).clamp(-3, 3).double().gather(1, held)
        late = F.conv1d(F.pad(late[:, None], (ALIGN_SMOOTH, ALIGN_SMOOTH), mode="replicate"), window / window.sum())[:, 0].clamp(-2, 2)
        moves = F.pad(late / ALIGN_POINTS * edges.diff(dim=1), (1, 1), mode="replicate")
        moved = edges + (moves[:, 1:] + moves[:, :-1]) / 2 - start
        edges = (start + torch.minimum(torch.maximum(moved, -most), most)).cummax(1)[0]
    return edges[:, :-1], edges.diff(dim=1)


def hann(reach: int, like: torch.Tensor) -> torch.Tensor:
    """Window of so many turns on either side, as a kernel of one channel, on the device and of the kind of `like`."""
    return torch.hann_window(2 * reach + 3, False, dtype=like.dtype, device=like.device)[None, None, 1:-1]


def near_by(x: torch.Tensor, there: torch.Tensor, reach: int) -> torch.Tensor:
    """Mean of x [clips, turns, …] over the turns that exist from reach before to reach after each."""
    turns = x.shape[1]
    at = torch.arange(turns, device=x.device)
    first, end = (at - reach).clamp_min(0), (at + reach + 1).clamp_max(turns)
    there = there.view(*there.shape, *[1] * (x.ndim - 2))
    over = lambda y: (total := F.pad(y.double().transpose(1, -1).cumsum(-1), (1, 0)).transpose(1, -1))[:, end] - total[:, first]
    return (over(x * there) / over(there).clamp_min(1)).to(x.dtype)


def shifted(x: torch.Tensor, lag: int) -> torch.Tensor:
    """What lies `lag` turns ahead, zeros beyond the ends."""
    lag = max(-x.shape[1], min(x.shape[1], lag))
    zeros = torch.zeros_like(x[:, : abs(lag)])
    return torch.cat([x[:, lag:], zeros], 1) if lag >= 0 else torch.cat([zeros, x[:, :lag]], 1)


def likeness(p: torch.Tensor, fired: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    """Of waveforms [clips, turns, POINTS], log-odds that each turn fired, and 1 where there is a turn: [clips, turns, LIKENESS].

    Correlations with the next LAGS turns; then strength, gain and shift; then the mean square of the correlations within REACH,
    log-odds gathered once and twice, gain gathered. Strength is the decimal logarithm of what is apart from the mean against the
    mean, gain how much of the mean is in it, shift how much of the mean's slope.
    """
    mean = near_by(p, there, NEAR)
    apart = (p - mean) * there[..., None]
    energy, size, slope = apart.square().sum(2) + 1e-12, mean.square().sum(2) + 1e-12, torch.gradient(mean, dim=2)[0]
    strength = torch.log10(energy / size).clamp(-LARGEST, LARGEST)
    gain = (apart * mean).sum(2) / size
    shift = ((apart * slope).sum(2) / (slope.square().sum(2) + 1e-9)).clamp(-LARGEST, LARGEST)
    alone = apart * energy.rsqrt()[..., None]
    ahead = [(alone * shifted(alone, lag)).sum(2) for lag in range(1, REACH + 1)]
    like = {lag: ahead[lag - 1] for lag in range(1, REACH + 1)} | {-lag: shifted(ahead[lag - 1], -lag) for lag in range(1, REACH + 1)}
    square = sum(c.square() for c in like.values()) / (2 * REACH)
    weight = sum(c.abs() for c in like.values()) + 1e-3

    def gathered(x: torch.Tensor) -> torch.Tensor:
        return sum(c * shifted(x, lag) for lag, c in like.items()) / weight

    once = gathered(deviations_of(fired, there))
    columns = [*ahead[:LAGS], strength, gain, shift, square, once, gathered(torch.tanh(4 * once) * there), gathered(deviations_of(gain, there))]
    return torch.stack(columns, 2) * there[..., None]


def deviations_of(x: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    """How far x [clips, turns] stands from the mean of the turns within REACH, in standard deviations."""
    off = x - near_by(x, there, REACH)
    return off * there / (near_by(off.square(), there, REACH) + 1e-6).sqrt()


def features(
    x: torch.Tensor, fired: torch.Tensor, begin: torch.Tensor, length: torch.Tensor, there: torch.Tensor
) -> tuple[torch.Tensor, torch.Tensor]:
    """[clips, turns, FEATURES] and sketches [clips, turns, 2 SKETCH] of sound [clips, n] at 16 kHz.

    fired: the first network's log-odds, one a millisecond; begin, length: of turns one after the other, seconds; there: 1 where
    there is a turn, 0 in the rows that fill up.
    """
    x = F.pad(x, (0, -x.shape[1] % LEVEL_STEP))
    logits = parts_of(fired, begin, length, PARTS, 1000) * there[..., None]
    waveforms = [parts_of(y, begin, length, POINTS, RATE_HZ) for y in inputs(x).unbind(1)]
    found = torch.cat([*(likeness(p, logits.mean(2), there) for p in waveforms), logits], 2)
    sketches = torch.cat([p.unflatten(2, (SKETCH, -1)).mean(3) for p in waveforms], 2)
    return F.pad(found, (0, FEATURES - found.shape[2])), sketches


@dataclass(frozen=True)
class Blocks:
    """What is sought in the turns of all clips block by block; the same for every reading."""

    at: torch.Tensor
    """Places in all turns of all clips, [blocks, turns]."""
    inside: torch.Tensor
    """True where a block has a turn, [blocks, turns]."""
    x: torch.Tensor
    """Sketches less the mean of those near by, both halves of unit power, [blocks, turns, 2 SKETCH]."""
    columns: torch.Tensor
    """Gain of both waveforms, strength and shift of the first, [blocks, turns, 4]."""
    side: torch.Tensor
    """The two groups that lie furthest apart: distance from the border between them, standard deviations, [blocks, turns]."""
    apart: torch.Tensor
    """How far the groups' means lie apart, standard deviations within a group, [blocks, 1]."""


def blocks(rows: torch.Tensor, sketches: torch.Tensor, there: torch.Tensor) -> Blocks:
    """Of features [clips, turns, FEATURES] and sketches [clips, turns, 2 SKETCH]."""
    at, inside = blocks_of(there)
    apart = (sketches - near_by(sketches, there, REACH)).double().flatten(0, 1)[at] * inside[..., None]
    flat = rows.double().flatten(0, 1)[at] * inside[..., None]
    x = apart.unflatten(2, (2, SKETCH))
    power = x.square().mean(3).sum(1, keepdim=True) / inside.sum(1).clamp_min(1)[:, None, None]
    x = (x / (power.sqrt() + 1e-9)[..., None]).flatten(2)
    columns = flat[..., [GAIN, LIKENESS + GAIN, STRENGTH, SHIFT]]
    first = flat[..., 2 * LIKENESS : 2 * LIKENESS + PARTS].mean(2)
    side, distance = two_groups(x, torch.stack([first, columns[..., 0], columns[..., 1]], 1), inside.double())
    return Blocks(at, inside, x, columns, side, distance)


def told_again(rows: torch.Tensor, found: Blocks, logits: torch.Tensor) -> torch.Tensor:
    """The same features [clips, turns, FEATURES], told what a reading of them, log-odds [clips, turns], led to."""
    told = two_kinds(found, logits.double().flatten()[found.at]).to(rows.dtype)
    out = rows.clone()
    out.view(-1, FEATURES)[found.at[found.inside], FIRST_TOLD : FIRST_TOLD + TOLD] = told[found.inside]
    return out


def blocks_of(there: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """Blocks of about BLOCK turns that a direction is sought over: places in all turns of all clips, and True where one is."""
    spans = []
    for clip, turns in enumerate(there.sum(1).long().tolist()):
        blocks = max(1, math.floor(turns / BLOCK + 0.5))
        edges = [clip * there.shape[1] + b * turns // blocks for b in range(blocks + 1)]
        spans += zip(edges[:-1], edges[1:])
    first, end = torch.tensor(spans, device=there.device).T[..., None]
    at = first + torch.arange(int((end - first).max()), device=there.device)
    return torch.minimum(at, (end - 1).clamp_min(0)), at < end


def regression(x: torch.Tensor, there: torch.Tensor) -> Callable[[torch.Tensor], torch.Tensor]:
    """Tells a column [blocks, turns] from x by turns that do not take part: a function to sides in standard deviations."""
    fold = torch.arange(x.shape[1], device=x.device) // FOLD_TURNS % FOLDS
    out = 1 - F.one_hot(fold, FOLDS).to(x.dtype)  # [turns, folds]: turns that take part
    products = torch.einsum("tf,bti,btj->bfij", out, x, x)
    ridge = RIDGE * products.diagonal(dim1=2, dim2=3).mean(2) + 1e-6
    products = products + ridge[..., None, None] * torch.eye(x.shape[2], dtype=x.dtype, device=x.device)

    def told(wanted: torch.Tensor) -> torch.Tensor:
        weights = torch.linalg.solve(products, torch.einsum("tf,bti,bt->bfi", out, x, wanted)[..., None])[..., 0]
        return deviations((x * weights[:, fold]).sum(2), there, 1e-6)

    return told


def mean_of(value: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    return (value * there).sum(-1, keepdim=True) / there.sum(-1, keepdim=True).clamp_min(1)


def spread_of(off: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    return mean_of(off.square(), there).sqrt()


def deviations(value: torch.Tensor, there: torch.Tensor, least: float) -> torch.Tensor:
    """Distances from the mean in standard deviations, to which `least` is added."""
    off = (value - mean_of(value, there)) * there
    return off / (spread_of(off, there) + least)


def correlation(a: torch.Tensor, b: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    return mean_of(deviations(a, there, 1e-6) * deviations(b, there, 1e-6), there)


def border(side: torch.Tensor, there: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """Where columns [..., turns] fall into two groups that scatter least, and how far their means then lie apart, [..., 1] each.

    The distance is in standard deviations within a group: 2.65 for a normal distribution, which has no groups (Otsu, IEEE
    Transactions on Systems, Man, and Cybernetics 9, 1979, from memory).
    """
    present = there.expand_as(side) > 0
    value = torch.where(present, side, torch.full_like(side, 1e9)).sort(-1)[0]
    total = present.sum(-1, keepdim=True).to(side.dtype)
    below = torch.arange(1, side.shape[-1], device=side.device, dtype=side.dtype)
    sums = torch.where(value < 1e8, value, torch.zeros_like(value)).cumsum(-1)
    all_sum, low = sums[..., -1:], sums[..., :-1]
    between = (low / below - (all_sum - low) / (total - below).clamp_min(1)).square() * below * (total - below) / total.clamp_min(1).square()
    allowed = (below >= SMALLEST * total) & (below <= (1 - SMALLEST) * total)
    most, i = torch.where(allowed, between, torch.zeros_like(between)).max(-1, keepdim=True)
    share = (i + 1) / total.clamp_min(1)
    within = spread_of((side - mean_of(side, there)) * there, there).square() - most
    distance = (most / (share * (1 - share)).clamp_min(1e-6)).sqrt() / within.clamp_min(1e-9).sqrt()
    return (value.gather(-1, i) + value.gather(-1, i + 1).clamp_max(1e8)) / 2, distance.clamp_max(20)


def two_groups(x: torch.Tensor, columns: torch.Tensor, there: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
    """The direction in x [blocks, turns, 2 SKETCH] along which turns fall into two groups that lie furthest apart.

    Begun from columns [blocks, several, turns] and from the likeness to BEGINNINGS turns, as they are and with all directions
    made equally strong; there: 1 where a block has a turn.
    Gives distances from the border in standard deviations, [blocks, turns], and how far the means lie apart, [blocks, 1].
    """
    products = torch.einsum("bti,btj->bij", x, x)
    ridge = RIDGE * products.diagonal(dim1=1, dim2=2).mean(1) + 1e-6
    products = products + ridge[:, None, None] * torch.eye(x.shape[2], dtype=x.dtype, device=x.device)
    along = lambda wanted: torch.einsum("bti,bis->bst", x, torch.linalg.solve(products, torch.einsum("bti,bst->bis", x, wanted)))
    alone = there[:, None]
    count = there.sum(1)
    picked = ((torch.arange(BEGINNINGS, device=x.device) + 0.5) / BEGINNINGS * count[:, None]).long()
    chosen = x.gather(1, picked[..., None].expand(-1, -1, x.shape[2]))
    alike = torch.einsum("bti,bsi->bst", x, chosen)
    evenly = torch.einsum("bti,bis->bst", x, torch.linalg.solve(products, chosen.transpose(1, 2)))
    sides = torch.cat([along(deviations(columns, alone, 1e-3).clamp(-3, 3)), alike, evenly], 1)
    for _ in range(GROUPINGS):
        at, _ = border(sides, alone)
        upper = (sides > at).to(x.dtype) * alone
        sides = along((upper - mean_of(upper, alone)) * alone)
        sides = deviations(sides, alone, 1e-9)
    _, distance = border(sides, alone)
    best = distance[..., 0].argmax(1)
    side = sides[torch.arange(len(x), device=x.device), best]
    told = regression(x, there)
    for _ in range(2):
        at, _ = border(side, there)
        side = told(deviations((side > at).to(x.dtype), there, 1e-6))
    at, distance = border(side, there)
    return (side - at) * there, distance


def two_kinds(found: Blocks, logits: torch.Tensor) -> torch.Tensor:
    """[blocks, turns, TOLD] of what was found in blocks and of log-odds [blocks, turns].

    Cross-validated regressions with a ridge of what is thought on the sketches, the second and third of what the one before gave.
    Side of every turn after the first times its correlation with what was thought; side after the last, in standard
    deviations; that correlation; excess kurtosis and skewness of the last sides; the log-odds. Then of the two groups that lie
    furthest apart, the side that was thought to fire being above: side of every turn; how far apart; share above; correlation of the
    sides with what was thought, with the columns of the blocks, with the change of shift and the gain of the turn after, and with the
    sides of the regressions.
    """
    there = found.inside.double()
    mean = lambda value: mean_of(value, there)
    told = regression(found.x, there)
    wanted = deviations(logits, there, 1e-3).clamp(-3, 3)
    side = told(wanted)
    likeness = mean(side * wanted) / (spread_of((wanted - mean(wanted)) * there, there) + 1e-6)
    once = side * likeness.clamp_min(0)
    for _ in range(ROUNDS - 1):
        side = told(deviations(torch.tanh(STEEPNESS * side), there, 1e-6))
    side = side.clamp(-4, 4)
    all_over = lambda value: value.expand_as(side)
    columns = [once, side, all_over(likeness), all_over(mean(side.pow(4)) - 3), all_over(mean(side.pow(3))), logits]

    agrees = correlation(found.side, wanted, there)
    group = torch.where(agrees < 0, -found.side, found.side)
    gains, shift = found.columns[..., :2], found.columns[..., 3]
    told_by = [gains[..., 0], gains[..., 1], found.columns[..., 2], shifted(shift, 1) - shift, shifted(gains[..., 0], 1), side]
    columns += [group.clamp(-4, 4), all_over((found.apart - 2.6).clamp(0, 6)), all_over(mean((group > 0).to(group.dtype))), all_over(agrees.abs())]
    columns += [all_over(correlation(group, column, there)) for column in told_by]
    return torch.stack(columns, 2)


def readings(reader: TurnReader, rows: torch.Tensor, sketches: torch.Tensor, there: torch.Tensor, count: int = READINGS) -> list[torch.Tensor]:
    """Log-odds of every reading, [clips, turns] each; what a reading is told it learns nothing by."""
    heard = [reader(rows.transpose(1, 2))]
    with torch.no_grad():
        found = blocks(rows, sketches, there)
    for _ in range(count - 1):
        with torch.no_grad():
            told = told_again(rows, found, heard[-1])
        heard.append(reader(told.transpose(1, 2)))
    return heard
