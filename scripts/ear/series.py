"""Sums over numbers that stand one to a turn: means of the turns near by, deviations, correlations."""
import torch
from torch.nn import functional as F

REACH = 24
"""Turns on either side that a turn is held against."""


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


def deviations_of(x: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    """How far x [clips, turns] stands from the mean of the turns within REACH, in standard deviations."""
    off = x - near_by(x, there, REACH)
    return off * there / (near_by(off.square(), there, REACH) + 1e-6).sqrt()


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
