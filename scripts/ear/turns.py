"""The part of the ear that goes from turn to turn: what turns are told by, and the network that reads it.

What a single turn leaves open, the rhythm of many tells. The picture of a turn is its waveform in 64 parts; what it has apart
from the mean of the nine turns about it is correlated with that of the next eight. Together with the log-odds that the first
network gives, these numbers go turn by turn through a few convolutions. 28,000 weights, a thirtieth of the first network.
"""
import numpy as np
import torch
from torch import nn

from net import LEVEL_SPANS, LEVEL_STEP, PREEMPHASIS, RATE_HZ, Block, level

POINTS, NEAR, LAGS, PARTS = 64, 4, 8, 8
"""Parts of a picture, turns on either side of a mean, turns ahead that are compared, parts of a turn for log-odds."""
LIKENESS = LAGS + 3
FEATURES = -(-(2 * LIKENESS + PARTS) // 8) * 8
"""Numbers to a turn, the last ones zeros."""
LARGEST = 3


class TurnReader(nn.Module):
    """Features [clips, FEATURES, turns] to log-odds that each turn fired, [clips, turns]."""

    def __init__(self, channels: int = 32, dilations: tuple[int, ...] = (1, 2, 4, 8, 2, 1)):
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
        self.norm = nn.Identity()
        return self.eval()


def pictures(sound: np.ndarray, begin: np.ndarray, length: np.ndarray) -> np.ndarray:
    """Mean of the sound over POINTS equal parts of each turn, [turns, POINTS]; begin and length in seconds."""
    return parts_of(sound, begin, length, POINTS, RATE_HZ)


def parts_of(values: np.ndarray, begin: np.ndarray, length: np.ndarray, parts: int, rate_hz: int) -> np.ndarray:
    total = np.concatenate([[0.0], np.cumsum(values, dtype=float)])
    edges = ((begin[:, None] + length[:, None] * np.arange(parts + 1) / parts) * rate_hz).clip(0, len(values) - 1e-6)
    whole = edges.astype(int)
    at = total[whole] + (edges - whole) * values[whole]
    return np.diff(at, axis=1) / np.maximum(np.diff(edges, axis=1), 1e-3)


def likeness(p: np.ndarray) -> np.ndarray:
    """Of pictures: correlations with the next LAGS turns, then strength, gain and shift, [turns, LIKENESS].

    Strength is the decimal logarithm of what is apart from the mean against the mean, gain how much of the mean is in it,
    shift how much of the mean's slope.
    """
    n = len(p)
    near = min(NEAR, n // 2)
    total = np.concatenate([np.zeros((1, POINTS)), p.cumsum(0)])
    first, end = np.maximum(np.arange(n) - near, 0), np.minimum(np.arange(n) + near + 1, n)
    mean = (total[end] - total[first]) / (end - first)[:, None]
    apart = p - mean
    energy, size, slope = (apart**2).sum(1) + 1e-12, (mean**2).sum(1) + 1e-12, np.gradient(mean, axis=1)
    out = np.zeros((n, LIKENESS))
    for lag in range(1, min(LAGS + 1, n)):
        out[: n - lag, lag - 1] = (apart[: n - lag] * apart[lag:]).sum(1) / np.sqrt(energy[: n - lag] * energy[lag:])
    out[:, LAGS] = np.log10(energy / size).clip(-LARGEST, LARGEST)
    out[:, LAGS + 1] = (apart * mean).sum(1) / size
    out[:, LAGS + 2] = ((apart * slope).sum(1) / ((slope**2).sum(1) + 1e-9)).clip(-LARGEST, LARGEST)
    return out


def levelled(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Sound divided by its own root mean square, as it is and pre-emphasised."""
    count = len(x)
    x = torch.tensor(np.pad(x, (0, -count % LEVEL_STEP)).astype(np.float32))[None]
    sharp = torch.cat([torch.zeros_like(x[:, :1]), x[:, 1:] - PREEMPHASIS * x[:, :-1]], 1)
    return tuple(level(y, span)[0, :count].numpy() for y, span in zip((x, sharp), LEVEL_SPANS))


def features(x: np.ndarray, fired: np.ndarray, begin: np.ndarray, length: np.ndarray) -> np.ndarray:
    """[turns, FEATURES] of sound x at 16 kHz and the first network's log-odds, one a millisecond; begin and length in seconds."""
    columns = [likeness(pictures(y, begin, length)) for y in levelled(x)]
    columns.append(parts_of(fired, begin, length, PARTS, 1000))
    found = np.concatenate(columns, 1)
    return np.pad(found, ((0, 0), (0, FEATURES - found.shape[1]))).astype(np.float32)
