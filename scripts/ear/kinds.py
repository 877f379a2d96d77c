"""Whether the turns of a clip are of two kinds, and which turn is of which.

Three directions are sought in sketches of the waveforms. Along the first, what is thought of the turns can be told again by turns that
did not take part in finding it. Along the second, turns fall into the two groups that lie furthest apart, and along the third they
repeat themselves most strictly after so many turns, whatever was thought of them. Where in a turn it is louder along each says
which side fires, and whether the pulse belongs to this turn or to the next.
"""
import math
from collections.abc import Callable
from dataclasses import dataclass

import torch
from torch.nn import functional as F

from series import REACH, correlation, deviations, mean_of, near_by, shifted, spread_of

PROFILE = 32
"""Parts over which it is told where turns are louder: both sounds, from half a turn before to half a turn after."""
TOLD = 18 + 15 + 3 * PROFILE
"""Numbers that are told of a turn."""
LOUD_PARTS = 8
"""Parts of a turn whose loudness is told."""
SKETCH = 16
"""Parts of a waveform where a direction is sought in it."""
BLOCK, FOLDS, FOLD_TURNS = 384, 4, 8
"""Turns that a direction is sought over, about; turns are told without themselves: runs of eight, every fourth left out in turn."""
RIDGE, ROUNDS, STEEPNESS = 0.1, 3, 1.5
BEGINNINGS, STRONGEST, GROUPINGS, SMALLEST = 8, 6, 6, 0.05
"""Turns of a block that groups are begun from, besides three of its columns, and directions in which turns differ most; times that
two groups are formed anew; the least share of the turns that is a group."""
STRONGEST_ROUNDS = 12
BEATS, RHYTHM_ROUNDS = range(2, 8), 16
"""After how many turns turns may repeat themselves; times that a direction is found anew by what repeats along it."""
STEADY_RHYTHM, MOST_RHYTHM, MOST_BEAT, TOLD_BEATS = 0.5, 4.0, 2.0, 3
"""From where on rhythm is trusted, fully one higher; the most that is told of it in all and of one beat; beats that are told."""
FARTHEST, FARTHEST_SIDE = 3.0, 4.0
"""Standard deviations beyond which a thought and a side say no more."""
ONE_KIND, SURE_APART, MOST_APART = 2.6, 3.0, 6.0
"""How far apart two groups lie that say nothing, from where on two more they are trusted, and the most that is told beyond nothing."""


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
    rhythm: torch.Tensor
    """What repeats itself most strictly, standard deviations, [blocks, turns]."""
    beats: torch.Tensor
    """How far it stands out that it repeats after each of BEATS turns, [blocks, beats]."""
    loud: torch.Tensor
    """Loudness of the parts of a turn and of half a turn on either side, both sounds, less that of turns near by, [blocks, turns, PROFILE]."""


def blocks(sketches: torch.Tensor, loud: torch.Tensor, columns: torch.Tensor, there: torch.Tensor) -> Blocks:
    """Of sketches [clips, turns, 2 SKETCH], loudness [clips, turns, 2 LOUD_PARTS] and columns [clips, turns, 5]: those of Blocks, and the
    first network's log-odds."""
    at, inside = blocks_of(there)
    apart = (sketches - near_by(sketches, there, REACH)).double().flatten(0, 1)[at] * inside[..., None]
    x = apart.unflatten(2, (2, SKETCH))
    power = x.square().mean(3).sum(1, keepdim=True) / inside.sum(1).clamp_min(1)[:, None, None]
    x = (x / (power.sqrt() + 1e-9)[..., None]).flatten(2)
    known = columns.double().flatten(0, 1)[at] * inside[..., None]
    there_now = inside.double()
    products = torch.einsum("bti,btj->bij", x, x)
    axes = strongest(products)
    side, distance = two_groups(x, products, axes, known[..., [4, 0, 1]].transpose(1, 2), there_now)
    rhythm, beats = strictest_rhythm(x, products, axes, there_now)
    louder = (loud - near_by(loud, there, REACH)).double() * there[..., None]
    around = around_of(louder).flatten(0, 1)[at] * inside[..., None]
    return Blocks(at, inside, x, known[..., :4], side, distance, rhythm, beats, around)


def around_of(loud: torch.Tensor) -> torch.Tensor:
    """Loudness of parts [clips, turns, 2 LOUD_PARTS] with the later half of the turn before and the earlier half of the turn after."""
    half = LOUD_PARTS // 2
    own = loud.unflatten(2, (2, LOUD_PARTS))
    return torch.cat([shifted(own, -1)[..., half:], own, shifted(own, 1)[..., :half]], 3).flatten(2)


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


def two_kinds(found: Blocks, logits: torch.Tensor) -> torch.Tensor:
    """[blocks, turns, TOLD] of what was found in blocks and of log-odds [blocks, turns].

    Cross-validated regressions with a ridge of what is thought on the sketches, the second and third of what the one before gave.
    Side of every turn after the first times its correlation with what was thought; side after the last, in standard
    deviations; that correlation; excess kurtosis and skewness of the last sides; the log-odds. Then of the two groups that lie
    furthest apart, the side that was thought to fire being above: side of every turn; how far apart; share above; correlation of the
    sides with what was thought, with the columns of the blocks, with the change of shift and the gain of the turn after, and with the
    sides of the regressions; and the side as far as the groups are trusted, alone and where they agree with what was thought.
    The same of what repeats itself most strictly: side; how far it stands out after two, three and four turns, and in all; share
    above, correlations and trusted sides as of the groups. Last, how the loudness of PROFILE parts goes with what was thought, with the
    side of the groups, and with that of the rhythm.
    """
    there = found.inside.double()
    mean = lambda value: mean_of(value, there)
    told = regression(found.x, there)
    wanted = deviations(logits, there, 1e-3).clamp(-FARTHEST, FARTHEST)
    side = told(wanted)
    likeness = mean(side * wanted) / (spread_of((wanted - mean(wanted)) * there, there) + 1e-6)
    once = side * likeness.clamp_min(0)
    for _ in range(ROUNDS - 1):
        side = told(deviations(torch.tanh(STEEPNESS * side), there, 1e-6))
    side = side.clamp(-FARTHEST_SIDE, FARTHEST_SIDE)
    all_over = lambda value: value.expand_as(side)
    columns = [once, side, all_over(likeness), all_over(mean(side.pow(4)) - 3), all_over(mean(side.pow(3))), logits]

    gains, shift = found.columns[..., :2], found.columns[..., 3]
    told_by = [gains[..., 0], gains[..., 1], found.columns[..., 2], shifted(shift, 1) - shift, shifted(gains[..., 0], 1), side]
    loud = deviations(found.loud.transpose(1, 2), there[:, None], 1e-6)
    profile = lambda value: (loud * deviations(value, there, 1e-6)[:, None] * there[:, None]).sum(2) / there.sum(1, keepdim=True).clamp_min(1)

    def sides(value: torch.Tensor, trust: torch.Tensor, *strengths: torch.Tensor) -> tuple[list[torch.Tensor], torch.Tensor]:
        agrees = correlation(value, wanted, there)
        value = torch.where(agrees < 0, -value, value)
        near = value.clamp(-FARTHEST_SIDE, FARTHEST_SIDE)
        strong = near * trust
        shares = [mean((value > 0).to(value.dtype)), agrees.abs(), *(correlation(value, column, there) for column in told_by)]
        return [near, *map(all_over, (*strengths, *shares)), strong, strong * (2 * agrees.abs()).clamp_max(1)], profile(value)

    groups, where_groups = sides(found.side, ((found.apart - SURE_APART) / 2).clamp(0, 1), (found.apart - ONE_KIND).clamp(0, MOST_APART))
    in_all = found.beats.square().sum(1, keepdim=True).sqrt().clamp_max(MOST_RHYTHM)
    beats = found.beats[:, :TOLD_BEATS].clamp(-MOST_BEAT, MOST_BEAT).split(1, 1)
    rhythm, where_rhythm = sides(found.rhythm, (in_all - STEADY_RHYTHM).clamp(0, 1), *beats, in_all)
    where = torch.cat([profile(wanted), where_groups, where_rhythm], 1)[:, None].expand(-1, side.shape[1], -1)
    return torch.cat([torch.stack(columns + groups + rhythm, 2), where], 2)


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


def two_groups(
    x: torch.Tensor, products: torch.Tensor, axes: torch.Tensor, columns: torch.Tensor, there: torch.Tensor
) -> tuple[torch.Tensor, torch.Tensor]:
    """The direction in x [blocks, turns, 2 SKETCH] along which turns fall into two groups that lie furthest apart.

    Begun from columns [blocks, several, turns], from the likeness to BEGINNINGS turns, as they are and with all directions
    made equally strong, and from the axes along which turns differ most; products: of x with itself, summed over the turns;
    there: 1 where a block has a turn.
    Gives distances from the border in standard deviations, [blocks, turns], and how far the means lie apart, [blocks, 1].
    """
    ridge = RIDGE * products.diagonal(dim1=1, dim2=2).mean(1) + 1e-6
    products = products + ridge[:, None, None] * torch.eye(x.shape[2], dtype=x.dtype, device=x.device)
    along = lambda wanted: torch.einsum("bti,bis->bst", x, torch.linalg.solve(products, torch.einsum("bti,bst->bis", x, wanted)))
    alone = there[:, None]
    count = there.sum(1)
    picked = ((torch.arange(BEGINNINGS, device=x.device) + 0.5) / BEGINNINGS * count[:, None]).long()
    chosen = x.gather(1, picked[..., None].expand(-1, -1, x.shape[2]))
    alike = torch.einsum("bti,bsi->bst", x, chosen)
    evenly = torch.einsum("bti,bis->bst", x, torch.linalg.solve(products, chosen.transpose(1, 2)))
    strong = torch.einsum("bti,bis->bst", x, axes)
    sides = torch.cat([along(deviations(columns, alone, 1e-3).clamp(-3, 3)), alike, evenly, strong], 1)
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


def strongest(products: torch.Tensor) -> torch.Tensor:
    """The STRONGEST principal axes of products [blocks, n, n], nearly, by orthogonal iteration: [blocks, n, STRONGEST]."""
    axes = products[:, :, :STRONGEST]
    for _ in range(STRONGEST_ROUNDS):
        axes = orthogonal(products @ axes)
    return axes


def orthogonal(vectors: torch.Tensor) -> torch.Tensor:
    """Each of vectors [blocks, n, several] less what the ones before hold of it, of length 1: on a card many times as quick as linalg.qr."""
    out: list[torch.Tensor] = []
    for vector in vectors.unbind(2):
        for axis in out:
            vector = vector - (axis * vector).sum(1, keepdim=True) * axis
        out.append(vector / (vector.square().sum(1, keepdim=True).sqrt() + 1e-300))
    return torch.stack(out, 2)


def strictest_rhythm(
    x: torch.Tensor, products: torch.Tensor, axes: torch.Tensor, there: torch.Tensor
) -> tuple[torch.Tensor, torch.Tensor]:
    """The direction in x [blocks, turns, 2 SKETCH] along which turns repeat themselves most strictly after two to seven turns.

    A repetition stands out by how far the correlation of turns so many turns apart lies above that one turn nearer and one turn
    further: what drifts stands out nowhere. Begun from the axes along which turns differ most (products as for `two_groups`); what
    stands out along a direction gives the next direction (as in blind separation of sources by their spectra: Belouchrani,
    Abed-Meraim, Cardoso and Moulines, IEEE Transactions on Signal Processing 45, 1997, from memory). In the end every turn is told by
    turns that take no part and should be what the turns around it foretell. Gives sides in standard deviations, [blocks, turns], and what stands out after
    each of BEATS, [blocks, beats].
    """
    ahead = {lag: torch.einsum("bti,btj->bij", x, shifted(x, lag)) for lag in range(1, BEATS.stop + 1)}
    ahead = {lag: (product + product.transpose(1, 2)) / 2 for lag, product in ahead.items()}
    out = torch.stack([ahead[k] - (ahead[k - 1] + ahead[k + 1]) / 2 for k in BEATS], 1)  # [blocks, beats, 2 SKETCH, 2 SKETCH]
    ridge = RIDGE * products.diagonal(dim1=1, dim2=2).mean(1) + 1e-6
    inverse = torch.linalg.inv(products + ridge[:, None, None] * torch.eye(x.shape[2], dtype=x.dtype, device=x.device))
    directions = axes  # [blocks, 2 SKETCH, begun]

    def stands_out(d: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        along = out @ d[:, None]
        power = (d * (products @ d)).sum(1) + 1e-9
        return (along * d[:, None]).sum(2) / power[:, None], along  # [blocks, beats, begun], [blocks, beats, 2 SKETCH, begun]

    for _ in range(RHYTHM_ROUNDS):
        most, along = stands_out(directions)
        directions = inverse @ (most[:, :, None] * along).sum(1)
        directions = directions / (directions.square().sum(1, keepdim=True).sqrt() + 1e-12)
    most, _ = stands_out(directions)
    best = most.square().sum(1).argmax(1)
    row = torch.arange(len(x), device=x.device)
    side = deviations((x * directions[row, :, best][:, None]).sum(2), there, 1e-6)
    told = regression(x, there)(deviations(foretold(side, most[row, :, best]) * there, there, 1e-6))
    return told, beats_of(told, there)


def foretold(side: torch.Tensor, beats: torch.Tensor) -> torch.Tensor:
    """What the turns around each foretell of it, [blocks, turns], by what stands out after each of BEATS, [blocks, beats]."""
    around = [shifted(side, lag) + shifted(side, -lag) for lag in range(BEATS.stop + 1)]
    return sum(beats[:, n, None] * (around[k] - (around[k - 1] + around[k + 1]) / 2) for n, k in enumerate(BEATS))


def beats_of(side: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    """What stands out after each of BEATS in sides of standard deviation 1, [blocks, beats]."""
    alike = [mean_of(side * shifted(side, lag), there) for lag in range(BEATS.stop + 1)]
    return torch.cat([alike[k] - (alike[k - 1] + alike[k + 1]) / 2 for k in BEATS], 1)
