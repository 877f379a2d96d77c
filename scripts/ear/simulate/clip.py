"""Whole clips: an engine or none, its surroundings, the phone."""
from dataclasses import dataclass

import torch

from .draw import Draw
from .engine import Truth, Turns, engine
from .others import Bank
from .phone import recorded
from .place import placed


@dataclass(frozen=True)
class Clips:
    waves: torch.Tensor
    """Sound at 16 kHz, [clips, n], full scale 1."""
    truth: Truth
    turns: Turns
    engine: torch.Tensor
    """Clips that hold an engine, [clips]."""


def clips(
    count: int,
    n: int,
    device: torch.device | str,
    banks: dict[str, Bank],
    engines: float = 0.72,
) -> Clips:
    """Draws clips of n samples; a share `engines` of them holds an engine."""
    draw = Draw(count, device)
    x, truth, turns = engine(draw, n)
    chosen = torch.rand(count) < engines
    there = chosen.to(device)[:, None]
    x = x / x.square().mean(1, keepdim=True).sqrt().clamp_min(1e-6) * there
    waves = torch.nan_to_num(recorded(draw, placed(draw, x, ~chosen, banks)))
    heard = Truth(truth.engine & there, truth.phase, truth.speed_hz, truth.burn, truth.dead)
    return Clips(waves, heard, turns, there[:, 0])
