"""Statistics for normalisation that was folded into its neighbours, so that training can go on from weights as they are shipped."""
from collections.abc import Callable

import torch
from torch import nn


@torch.no_grad()
def measured(module: nn.Module, run: Callable[[], None], consumer: dict[nn.Module, nn.Conv1d]) -> None:
    """Gives every normalisation the statistics of what it meets, and changes nothing of what the network says.

    run: lets the network hear a few batches; consumer: of a normalisation without gains, the layer that takes what it gives
    """
    sums = {part: [0, 0, 0] for part in module.modules() if isinstance(part, nn.BatchNorm1d)}

    def meet(part: nn.Module, inputs: tuple) -> None:
        x = inputs[0].double()
        sums[part] = [a + b for a, b in zip(sums[part], (x.shape[0] * x.shape[2], x.sum((0, 2)), x.square().sum((0, 2))))]

    hooks = [part.register_forward_pre_hook(meet) for part in sums]
    module.eval()
    run()
    module.train()
    for hook in hooks:
        hook.remove()
    for part, (count, total, square) in sums.items():
        mean = total / count
        var = (square / count - mean.square()).clamp_min(1e-8)
        now, before = (var + part.eps).sqrt(), (part.running_var.double() + part.eps).sqrt()
        moved = (mean - part.running_mean.double()) / before
        if part.affine:
            part.bias += part.weight * moved
            part.weight *= now / before
        else:
            layer = consumer[part]
            layer.bias += (layer.weight[:, :, 0] * moved).sum(1)
            layer.weight *= (now / before)[None, :, None]
        part.running_mean.copy_(mean)
        part.running_var.copy_(var)
