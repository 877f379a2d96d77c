"""Fewer hidden units in every block of a trained network, without training: units are left out one by one, each time the one that the
others can best make up for, and the weights of those that stay are solved anew (optimal brain surgeon, Hassibi and Stork, 1993,
from memory). Blocks are taken in turn, each with what reaches it through the thinner ones before it.
"""
import copy
from collections.abc import Iterable

import torch
from torch import nn
from torch.nn import functional as F

from net import Block

RIDGE = 1e-6
"""Of the mean power of the hidden units, so that two alike do not stop it."""
UNITS_AT_A_TIME = 8
"""The kernels take outputs by eights."""


@torch.no_grad()
def thin(ear: nn.Module, share: float, waves: Iterable[torch.Tensor]) -> nn.Module:
    """A copy in which every block keeps this share of its hidden units; waves: batches of sound that it hears for that."""
    ear = ear.eval()
    thinner = copy.deepcopy(ear)
    waves = list(waves)
    for whole, block in zip(blocks_of(ear), blocks_of(thinner)):
        gram, cross = met(ear, thinner, whole, block, waves)
        keep = round(block.wide.out_channels * share / UNITS_AT_A_TIME) * UNITS_AT_A_TIME
        replace(block, *kept(gram, cross, keep))
    return thinner


def blocks_of(ear: nn.Module) -> list[Block]:
    return [part for part in ear.modules() if isinstance(part, Block)]


def met(ear: nn.Module, thinner: nn.Module, whole: Block, block: Block, waves: list[torch.Tensor]) -> tuple[torch.Tensor, torch.Tensor]:
    """Products of the hidden units (and of one that is always 1) of `block` with one another and with what `whole` adds."""
    seen = {}
    hooks = [
        whole.register_forward_hook(lambda _, inputs, out: seen.update(added=out - inputs[0])),
        block.register_forward_hook(lambda _, inputs, out: seen.update(inputs=inputs[0])),
    ]
    gram = cross = 0
    for wave in waves:
        ear(wave)
        thinner(wave)
        hidden = F.hardswish(block.wide(block.norm(block.depth(seen["inputs"]))))
        hidden = F.pad(hidden, (0, 0, 0, 1), value=1).transpose(0, 1).flatten(1)
        gram = gram + (hidden @ hidden.T).double()
        cross = cross + (hidden @ seen["added"].transpose(0, 1).flatten(1).T).double()
    for hook in hooks:
        hook.remove()
    return gram, cross


def kept(gram: torch.Tensor, cross: torch.Tensor, keep: int) -> tuple[torch.Tensor, torch.Tensor]:
    """Which units stay, and the weights [units and 1, channels] by which they come closest to what the block added."""
    units = len(gram) - 1
    gram = gram + RIDGE * gram.diagonal().mean() * torch.eye(units + 1, dtype=gram.dtype, device=gram.device)
    inverse = torch.linalg.inv(gram)
    weights = inverse @ cross
    there = torch.ones(units + 1, dtype=torch.bool, device=gram.device)
    for _ in range(units - keep):
        lost = weights.square().sum(1) / inverse.diagonal()
        lost[~there] = torch.inf
        lost[units] = torch.inf
        out = int(lost.argmin())
        step = inverse[:, [out]] / inverse[out, out]
        weights = weights - step @ weights[[out]]
        inverse = inverse - step @ inverse[[out]]
        there[out] = False
    return there[:units].nonzero()[:, 0], torch.linalg.solve(gram[there][:, there], cross[there]).float()


def replace(block: Block, units: torch.Tensor, weights: torch.Tensor) -> None:
    wide, narrow = block.wide, block.narrow
    block.wide = nn.Conv1d(wide.in_channels, len(units), 1, device=weights.device)
    block.narrow = nn.Conv1d(len(units), narrow.out_channels, 1, device=weights.device)
    block.wide.weight.copy_(wide.weight[units])
    block.wide.bias.copy_(wide.bias[units])
    block.narrow.weight.copy_(weights[:-1].T[:, :, None])
    block.narrow.bias.copy_(weights[-1])
