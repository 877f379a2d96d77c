"""What training asks of the ear's outputs."""
import math

import torch
from torch.nn import functional as F

from net import BINS_PER_OCTAVE, OUTPUTS, SPEED_BINS, SPEED_FRAMES, SPEED_LOW_HZ
from recordings import LIKELY, STATES, Labelled
from simulate.engine import Truth

COSINE, SINE, FIRED, ENGINE, COASTING = range(len(OUTPUTS))
SPEED_SPREAD_BINS = 1.0
PARTIAL_LOW, PARTIAL_HIGH = 0.25, 0.75
"""Burnt shares below and above which a turn is asked to be skipped or fired altogether, evenly between."""


def mean_over(loss: torch.Tensor, weight: torch.Tensor) -> torch.Tensor:
    return (loss * weight).sum() / weight.sum().clamp_min(1)


def speed_loss(logits: torch.Tensor, speed_hz: torch.Tensor, engine: torch.Tensor, weight: torch.Tensor) -> torch.Tensor:
    """Cross entropy of the speeds every 16 ms; columns [clips, milliseconds], weight 0 where nothing is known."""
    middle = torch.arange(logits.shape[2], device=logits.device) * SPEED_FRAMES + SPEED_FRAMES // 2
    there = engine[:, middle]
    position = torch.log2(speed_hz[:, middle].clamp_min(SPEED_LOW_HZ) / SPEED_LOW_HZ) * BINS_PER_OCTAVE
    bins = torch.arange(SPEED_BINS, device=logits.device)[None, :, None]
    near = torch.exp(-0.5 * ((bins - position[:, None]) / SPEED_SPREAD_BINS) ** 2)
    wanted = torch.cat([near / near.sum(1, keepdim=True) * there[:, None], (~there)[:, None].float()], 1)
    return mean_over(-(wanted * F.log_softmax(logits, 1)).sum(1), weight[:, middle])


def simulated_loss(speeds: torch.Tensor, out: torch.Tensor, truth: Truth) -> dict[str, torch.Tensor]:
    engine = truth.engine.float()
    firing = engine * (~truth.dead).float()
    angle = 2 * math.pi * truth.phase
    off = (out[:, COSINE] - torch.cos(angle)) ** 2 + (out[:, SINE] - torch.sin(angle)) ** 2
    wanted = ((truth.burn - PARTIAL_LOW) / (PARTIAL_HIGH - PARTIAL_LOW)).clamp(0, 1)
    odds = lambda which, target: F.binary_cross_entropy_with_logits(out[:, which], target, reduction="none")
    everywhere = torch.ones_like(engine)
    return {
        "speed": speed_loss(speeds, truth.speed_hz, truth.engine, everywhere),
        "phase": mean_over(off, engine),
        "fired": 2 * mean_over(odds(FIRED, wanted), firing),
        "engine": 0.5 * mean_over(odds(ENGINE, engine), everywhere),
        "coasting": 0.25 * mean_over(odds(COASTING, truth.dead.float()), engine),
    }


STRETCH = 200
"""Milliseconds over which the share of skips of a labelled state is held to its limits."""
LIMITS = {"clean": (0.0, 0.03, 1.0), "alternate": (0.45, 0.55, 1.0), "third": (0.3, 0.7, 1.0), "fourth": (0.22, 0.78, 0.7), "irregular": (0.15, 0.9, 0.5)}
"""Lowest and highest mean share of skips, and weight; likely labels count 0.4 of it and may miss by as much again."""


def recorded_loss(speeds: torch.Tensor, out: torch.Tensor, labels: Labelled) -> dict[str, torch.Tensor]:
    """What recordings without a tachometer can teach: speed, engine or none, states by their share and rhythm."""
    known = labels.speed_hz > 0
    none = labels.engine == 0
    odds = lambda which, target: F.binary_cross_entropy_with_logits(out[:, which], target.float(), reduction="none")
    return {
        "recorded speed": 0.5 * speed_loss(speeds, labels.speed_hz, known, (known | none).float()),
        "recorded engine": 0.3 * mean_over(odds(ENGINE, labels.engine == 1), (labels.engine >= 0).float()),
        "recorded coasting": 0.1 * mean_over(odds(COASTING, labels.coasting == 1), (labels.coasting >= 0).float()),
        "recorded state": 0.4 * state_loss(out[:, FIRED], labels),
    }


def state_loss(fired: torch.Tensor, labels: Labelled) -> torch.Tensor:
    """Share of skips in stretches of one state, and the rhythm of every other turn."""
    skipped = torch.sigmoid(-fired)
    pooled = lambda x: F.avg_pool1d(x[:, None], STRETCH, STRETCH)[:, 0]
    share = pooled(skipped)
    miss, weights = torch.zeros_like(share), torch.zeros_like(share)
    for name, (low, high, weight) in LIMITS.items():
        for code, slack, trust in ((STATES.index(name), 0.0, 1.0), (STATES.index(name) + LIKELY, 0.04, 0.4)):
            within = (pooled((labels.state == code).float()) > 0.999).float() * weight * trust
            miss = miss + within * (F.relu(low - slack - share) + F.relu(share - high - slack))
            weights = weights + within
    # Half a period of every other turn is one turn: what it says now it does not say a turn later.
    turn = (1000 / labels.speed_hz.clamp_min(10)).round().long()
    later = (torch.arange(fired.shape[1], device=fired.device)[None] + turn).clamp_max(fired.shape[1] - 1)
    alternate = (labels.state == STATES.index("alternate")) & (labels.state.gather(1, later) == STATES.index("alternate"))
    rhythm = mean_over((skipped + skipped.gather(1, later) - 1) ** 2, alternate.float())
    return 4 * mean_over(miss, weights) + 0.7 * rhythm


def nothing_loss(speeds: torch.Tensor, out: torch.Tensor) -> dict[str, torch.Tensor]:
    """Clips without an engine."""
    none = F.softplus(out[:, ENGINE]).mean()
    return {"recorded others": 0.1 * (none - 0.6 * F.log_softmax(speeds, 1)[:, -1].mean())}
