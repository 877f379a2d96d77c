"""The part of the ear that goes from turn to turn: what turns are told by, and the network that reads it.

What a single turn leaves open, the many tell. A turn's waveform is taken in 64 parts; what it has apart from the mean
of the nine turns about it is correlated with that of the turns near by. The correlations with the next eight show the rhythm;
and the log-odds that the first network gives are gathered from up to 24 turns on either side, each counting by how like it is:
turns of one kind are heard as one. These numbers go turn by turn through a few convolutions.

What comes out is then held against the waveforms: is there a direction in them along which it can be told again, by turns that did
not take part in finding it? Along which direction do they fall into two groups that lie furthest apart, along which do they repeat
themselves most strictly, whatever was thought of them, and where around a turn does each go with loudness? The answers, large where the
sound holds two kinds of turn and small where it holds one, are told to the same network, which reads once more, and again.
"""
import torch
from torch import nn
from torch.nn import functional as F

from kinds import LOUD_PARTS, SKETCH, TOLD, Blocks, blocks, two_kinds
from net import LEVEL_STEP, RATE_HZ, Block, inputs
from series import REACH, deviations_of, hann, near_by, shifted

POINTS, NEAR, LAGS, PARTS = 64, 4, 8, 8
"""Parts of a waveform, turns on either side of a mean, turns ahead whose correlations are told one by one, parts of a turn for
log-odds."""
LIKENESS = LAGS + 7
STRENGTH, GAIN, SHIFT = LAGS, LAGS + 1, LAGS + 2
"""Places in a likeness."""
COLUMNS = [GAIN, LIKENESS + GAIN, STRENGTH, SHIFT]
"""Of the features, those that kinds are held against."""
FIRST_TOLD = 2 * LIKENESS + PARTS
"""Place of what an earlier reading led to, zeros in the first."""
FEATURES = -(-(FIRST_TOLD + TOLD) // 8) * 8
"""Numbers to a turn, the last ones zeros."""
LARGEST = 3
LEAD = 0.2
"""By how much of a turn turns are cut before the phase says that the exhaust pulse arrives: so that it lies within its turn."""
SOFTEST = 0.01
"""Power that is added before loudness is told, where sound has power 1."""
READINGS = 3
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
    """Turns [clips, turns] as they are cut before they are heard: LEAD early, and so that their waveforms lie best on one another."""
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
    length = edges.diff(dim=1)
    edges = (edges - LEAD * torch.cat([length, length[:, -1:]], 1)).cummax(1)[0]
    return edges[:, :-1], edges.diff(dim=1)


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


def features(
    x: torch.Tensor, fired: torch.Tensor, begin: torch.Tensor, length: torch.Tensor, there: torch.Tensor
) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """[clips, turns, FEATURES], sketches [clips, turns, 2 SKETCH] and loudness [clips, turns, 2 LOUD_PARTS] of sound [clips, n] at 16 kHz.

    fired: the first network's log-odds, one a millisecond; begin, length: of turns one after the other, seconds; there: 1 where
    there is a turn, 0 in the rows that fill up.
    """
    x = F.pad(x, (0, -x.shape[1] % LEVEL_STEP))
    logits = parts_of(fired, begin, length, PARTS, 1000) * there[..., None]
    channels = inputs(x).unbind(1)
    waveforms = [parts_of(y, begin, length, POINTS, RATE_HZ) for y in channels]
    found = torch.cat([*(likeness(p, logits.mean(2), there) for p in waveforms), logits], 2)
    sketches = torch.cat([p.unflatten(2, (SKETCH, -1)).mean(3) for p in waveforms], 2)
    loud = [torch.log(SOFTEST + parts_of(y.square(), begin, length, LOUD_PARTS, RATE_HZ)) for y in channels]
    return F.pad(found, (0, FEATURES - found.shape[2])), sketches, torch.cat(loud, 2)


def told_again(rows: torch.Tensor, found: Blocks, logits: torch.Tensor) -> torch.Tensor:
    """The same features [clips, turns, FEATURES], told what a reading of them, log-odds [clips, turns], led to."""
    told = two_kinds(found, logits.double().flatten()[found.at]).to(rows.dtype)
    out = rows.clone()
    out.view(-1, FEATURES)[found.at[found.inside], FIRST_TOLD : FIRST_TOLD + TOLD] = told[found.inside]
    return out


def found_in(rows: torch.Tensor, sketches: torch.Tensor, loud: torch.Tensor, there: torch.Tensor) -> Blocks:
    """What is sought block by block in what `features` gives."""
    logits = rows[..., 2 * LIKENESS : 2 * LIKENESS + PARTS].mean(2, keepdim=True)
    return blocks(sketches, loud, torch.cat([rows[..., COLUMNS], logits], 2), there)


def readings(reader: TurnReader, rows: torch.Tensor, found: Blocks, count: int = READINGS) -> list[torch.Tensor]:
    """Log-odds of every reading, [clips, turns] each; what a reading is told it learns nothing by."""
    heard = [reader(rows.transpose(1, 2))]
    for _ in range(count - 1):
        with torch.no_grad():
            told = told_again(rows, found, heard[-1])
        heard.append(reader(told.transpose(1, 2)))
    return heard
