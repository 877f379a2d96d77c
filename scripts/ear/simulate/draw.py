"""Random numbers and curves, a row for each clip, and the few operations on them that everything else is built from."""
import math
from dataclasses import dataclass

import torch

RATE = 16000


@dataclass(frozen=True)
class Draw:
    """Draws numbers for `clips` clips on one device; columns are [clips, 1] unless said otherwise."""

    clips: int
    device: torch.device | str

    def uniform(self, low: float, high: float, columns: int = 1) -> torch.Tensor:
        return torch.rand(self.clips, columns, device=self.device) * (high - low) + low

    def log_uniform(self, low: float, high: float, columns: int = 1) -> torch.Tensor:
        return torch.exp(self.uniform(math.log(low), math.log(high), columns))

    def chance(self, p: float, columns: int = 1) -> torch.Tensor:
        return torch.rand(self.clips, columns, device=self.device) < p

    def normal(self, columns: int) -> torch.Tensor:
        return torch.randn(self.clips, columns, device=self.device)

    def sign(self) -> torch.Tensor:
        return torch.where(self.chance(0.5), 1.0, -1.0)

    def integer(self, low: int, end: int, columns: int = 1) -> torch.Tensor:
        return torch.randint(low, end, (self.clips, columns), device=self.device)

    def decibels(self, low: float, high: float) -> torch.Tensor:
        """Linear gains, evenly spread in decibels."""
        return 10 ** (self.uniform(low, high) / 20)

    def either(self, p: float, first: torch.Tensor, second: torch.Tensor | float) -> torch.Tensor:
        """`first` in a share `p` of the clips, `second` in the others."""
        return torch.where(self.chance(p), first, second)

    def walk(self, n: int, knots: int) -> torch.Tensor:
        """Curves of length n through `knots` normal numbers, [clips, n]."""
        return torch.nn.functional.interpolate(self.normal(knots)[:, None], n, mode="linear", align_corners=True)[:, 0]

    def seconds(self, n: int) -> torch.Tensor:
        return (torch.arange(n, device=self.device) / RATE)[None]

    def noise(self, n: int, slope: torch.Tensor) -> torch.Tensor:
        """Noise of unit power whose power falls as frequency to the power of -slope, [clips, n]."""
        spectrum = torch.fft.rfft(self.normal(n))
        frequency = torch.fft.rfftfreq(n, 1 / RATE, device=self.device).clamp_min(15) / 100
        return unit(torch.fft.irfft(spectrum * frequency ** (-slope / 2), n))

    def colour(self, n: int, depth_db: torch.Tensor) -> torch.Tensor:
        """Smooth random gains for the bins of a real transform of length n, [clips, n // 2 + 1]."""
        frequency = torch.fft.rfftfreq(n, 1 / RATE, device=self.device)
        curve = self.walk(400, 9) * depth_db
        at = (torch.log2(frequency.clamp_min(20) / 20) / math.log2(400) * 399).clamp(0, 398.99)
        i, share = at.long(), at - at.floor()
        return 10 ** ((curve[:, i] * (1 - share) + curve[:, i + 1] * share) / 20)


def unit(x: torch.Tensor) -> torch.Tensor:
    """Scaled to unit power."""
    return x / x.std(1, keepdim=True).clamp_min(1e-9)


def interpolate(x: torch.Tensor, xs: torch.Tensor, ys: torch.Tensor) -> torch.Tensor:
    """Straight lines between points, a row a clip; xs rising, ends held."""
    i = torch.searchsorted(xs.contiguous(), x.contiguous()).clamp(1, xs.shape[1] - 1)
    x0, x1, y0, y1 = xs.gather(1, i - 1), xs.gather(1, i), ys.gather(1, i - 1), ys.gather(1, i)
    return y0 + (y1 - y0) * ((x - x0) / (x1 - x0).clamp_min(1e-9)).clamp(0, 1)


def smooth(x: torch.Tensor, tau: torch.Tensor, rate: float) -> torch.Tensor:
    """Causal exponential smoothing; tau [clips, 1] in seconds."""
    n = x.shape[1]
    answer = torch.exp(-torch.arange(n, device=x.device)[None] / (tau * rate))
    answer = answer / answer.sum(1, keepdim=True)
    return torch.fft.irfft(torch.fft.rfft(x, 2 * n) * torch.fft.rfft(answer, 2 * n), 2 * n)[:, :n]


def band(n: int, low_hz: torch.Tensor, high_hz: torch.Tensor, order: int = 2) -> torch.Tensor:
    """Gains of a band pass with smooth edges for the bins of a real transform of length n, [clips, n // 2 + 1]."""
    f = torch.fft.rfftfreq(n, 1 / RATE, device=low_hz.device)[None].clamp_min(1e-3)
    return ((1 + (low_hz / f) ** (2 * order)) * (1 + (f / high_hz) ** (2 * order))).rsqrt()


def shaped(x: torch.Tensor, gains: torch.Tensor) -> torch.Tensor:
    """Sound with the bins of its transform weighed."""
    return torch.fft.irfft(torch.fft.rfft(x) * gains, x.shape[1])


LOBES = 3
"""Samples to either side of an impulse that it is spread over."""


def spikes(at_s: torch.Tensor, size: torch.Tensor, n: int) -> torch.Tensor:
    """Impulses between samples, [clips, n]; those outside are left out.

    Lanczos kernels of six samples. On straight lines an impulse midway between samples would be duller than one on a sample,
    and an even engine whose turn lasts half a sample more than a whole number would seem to alternate.
    """
    position = at_s * RATE
    i = position.floor()
    share = position - i
    inside = (i >= LOBES) & (i < n - LOBES - 1)
    i = i.long().clamp(LOBES, n - LOBES - 2)
    size = torch.where(inside, size, torch.zeros_like(size))
    weights = [torch.sinc(k - share) * torch.sinc((k - share) / LOBES) for k in range(1 - LOBES, LOBES + 1)]
    size = size / sum(weights)
    x = torch.zeros(at_s.shape[0], n, device=at_s.device)
    for k, weight in zip(range(1 - LOBES, LOBES + 1), weights):
        x.scatter_add_(1, i + k, size * weight)
    return x


def rung(x: torch.Tensor, answer: torch.Tensor) -> torch.Tensor:
    """Convolution, cut to the length of x."""
    n = x.shape[1]
    size = 1 << (n + answer.shape[1] - 1).bit_length()
    return torch.fft.irfft(torch.fft.rfft(x, size) * torch.fft.rfft(answer, size), size)[:, :n]


def sampled(x: torch.Tensor, at: torch.Tensor) -> torch.Tensor:
    """Sound [clips, n] at places between samples, on straight lines; silence outside."""
    inside = (at >= 0) & (at <= x.shape[1] - 1)
    i = at.long().clamp(0, x.shape[1] - 2)
    share = (at - i).clamp(0, 1)
    return (x.gather(1, i) * (1 - share) + x.gather(1, i + 1) * share) * inside
