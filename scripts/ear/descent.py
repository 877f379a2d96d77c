"""How weights go down: optimiser, rate and step, the same for all that is trained."""
import argparse
import math
import time

import torch
from torch import nn

MOST_NORM = 2.0
"""Of a gradient; longer ones are shortened to it."""


def optimiser_of(model: nn.Module, rate: float) -> torch.optim.Optimizer:
    """Matrices decay; biases and gains do not."""
    decaying = [p for p in model.parameters() if p.ndim > 1]
    rest = [p for p in model.parameters() if p.ndim <= 1]
    groups = [{"params": decaying, "weight_decay": 0.02}, {"params": rest, "weight_decay": 0.0}]
    return torch.optim.AdamW(groups, rate, betas=(0.9, 0.98))


def set_rate(optimiser: torch.optim.Optimizer, a: argparse.Namespace, began: float, step: int, rising: int) -> None:
    """Up to `a.rate` in `rising` steps, and down along a cosine over the minutes or steps that there are."""
    share = min(1.0, max((time.time() - began) / (60 * a.minutes), step / a.steps))
    for group in optimiser.param_groups:
        group["lr"] = a.rate * min(1, (step + 1) / rising) * (0.5 + 0.5 * math.cos(math.pi * share)) + 1e-6


def descend(optimiser: torch.optim.Optimizer, model: nn.Module, loss: torch.Tensor) -> None:
    """One step. One that is not finite is left out, without the card having to tell."""
    optimiser.zero_grad(set_to_none=True)
    loss.backward()
    norm = nn.utils.clip_grad_norm_(model.parameters(), MOST_NORM)
    for p in model.parameters():
        p.grad.nan_to_num_(0, 0, 0).mul_(torch.isfinite(norm))
    optimiser.step()
