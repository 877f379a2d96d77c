"""Prints inputs and outputs of the ear's layers and of a whole small ear, for the library's tests.

    python3 scripts/ear/vectors.py                        # writes packages/core/test/reference/torch/*.json
    python3 scripts/ear/vectors.py --checkpoint FILE.pt   # a true-sized ear of random weights instead, to measure speed with

Weights are random, seed 1, those of the normalisation too, and rounded as export.py rounds them before outputs are taken:
the tests judge the arithmetic, not the rounding. Arrays are little-endian 32-bit floats in base64, frame by frame.
"""
import argparse
import base64
import json
from pathlib import Path

import torch
from torch import nn
from torch.nn import functional as F

import export
import net
import turns

OUT = Path(__file__).resolve().parents[2] / "packages/core/test/reference/torch"


def randomise(module: nn.Module) -> nn.Module:
    """Random statistics and gains of normalisation, biases away from 0."""
    for part in module.modules():
        if isinstance(part, nn.BatchNorm1d):
            part.running_mean.normal_(0, 0.2)
            part.running_var.uniform_(0.2, 1)
            if part.affine:
                nn.init.uniform_(part.weight, 0.7, 1.4)
                nn.init.normal_(part.bias, 0, 0.2)
    return module.eval()


def text(x: torch.Tensor) -> str:
    return base64.b64encode(x.detach().contiguous().numpy().astype("<f4").tobytes()).decode()


def frames(x: torch.Tensor) -> str:
    """[1, channels, frames] frame by frame."""
    return text(x[0].T)


class Named(nn.Module):
    """A layer under the name that the file knows it by."""

    def __init__(self, **parts: nn.Module):
        super().__init__()
        for name, part in parts.items():
            self.add_module(name, part)


def file_of(**parts: nn.Module) -> str:
    """File of layers, which then hold the weights in it."""
    module = randomise(Named(**parts))
    data = export.packed(module)
    export.as_read(module)
    return base64.b64encode(data).decode()


def sound(samples: int) -> torch.Tensor:
    """Pulses in noise that grows louder, with a stretch of silence."""
    at = torch.arange(samples)
    x = (torch.exp(-(at % 211) / 20.0) * torch.sin(at * 0.4) + 0.1 * torch.randn(samples)) * (0.05 + at / samples)
    x[samples // 3:samples // 3 + 400] = 0
    return x[None]


def front() -> dict:
    x = F.pad(sound(1500), (0, 2 * net.UNIT - 1500))
    bank, mix = nn.Conv1d(2, net.SIGNED + 2 * net.ENERGIES, 32, stride=8, padding=12), nn.Conv1d(net.SIGNED + net.ENERGIES, 32, 4, stride=2, padding=1)
    file = file_of(bank=bank, mix=mix)
    pairs = net.inputs(x)
    heard = bank(pairs)
    return {"weights": file, "samples": text(x[0, :1500]), "pairs": frames(pairs[:, :, :1600]), "bank": frames(heard[:, :, :12]),
            "compressed": frames(net.compress(heard)[:, :, :12]), "mixed": frames(mix(net.compress(heard))[:, :, 40:])}


def block(channels: int, dilation: int, count: int) -> dict:
    layer = net.Block(channels, dilation)
    file = file_of(block=layer)
    x = torch.randn(1, channels, count)
    return {"weights": file, "input": frames(x), "output": frames(layer(x))}


def strided() -> dict:
    layer = nn.Conv1d(32, 48, 4, stride=4)
    file = file_of(strided=layer)
    x = torch.randn(1, 32, 20)
    return {"weights": file, "input": frames(x), "output": frames(layer(x))}


def held() -> dict:
    layer = nn.Conv1d(64, 32, 1)
    file = file_of(held=layer)
    x, finer = torch.randn(1, 64, 4), torch.randn(1, 32, 16)
    return {"weights": file, "input": frames(x), "finer": frames(finer), "output": frames(finer + net.hold(layer(x)))}


def memory() -> dict:
    layer = nn.GRU(48, 24, batch_first=True, bidirectional=True)
    file = file_of(memory=layer)
    x = torch.randn(1, 6, 48) * 3
    return {"weights": file, "input": text(x[0]), "output": text((x + layer(x)[0])[0])}


def spans() -> dict:
    """More frames than the recurrent layer hears at a time."""
    ear = net.Ear(16, 16, 16, 16).eval()
    file = file_of(memory=ear.memory)
    x = torch.randn(1, 16, 130) * 3
    return {"weights": file, "input": frames(x), "output": frames(x + ear.remember(x))}


def speeds() -> dict:
    layer = nn.Conv1d(48, net.SPEED_BINS + 1, 1)
    file = file_of(speed=layer)
    x = torch.randn(1, 48, 3) * 4
    return {"weights": file, "input": frames(x), "output": frames(layer(x).log_softmax(1))}


def whole() -> dict:
    ear, reader = randomise(net.Ear(16, 16, 16, 32)), randomise(turns.TurnReader(16, (1, 8)))
    both = export.Whole(ear, reader)
    data = export.packed(both)
    export.as_read(both)
    x = sound(2900)
    speed, fine = ear(F.pad(x, (0, -2900 % net.UNIT)))
    length = 0.003 + 0.0004 * torch.rand(54)
    begin = 0.004 + F.pad(length.cumsum(0)[:-1], (1, 0))
    there = torch.ones(1, 54)
    level = net.inputs(F.pad(x, (0, -2900 % net.LEVEL_STEP)))[:, 0]
    rows, sketches, loud = turns.features(x, fine[:, 2], *turns.aligned(level, begin[None], length[None], there), there)
    judged = turns.readings(reader, rows, turns.found_in(rows, sketches, loud, there))[-1]
    return {"weights": base64.b64encode(data).decode(), "version": export.version(data), "samples": text(x[0]),
            "speed": frames(speed.log_softmax(1)), "fine": frames(fine),
            "begin": text(begin), "length": text(length), "features": text(rows[0]), "sketches": text(sketches[0]), "loud": text(loud[0]), "judged": text(judged[0])}


VECTORS = {
    "front": front, "block32": lambda: block(32, 1, 12), "block64": lambda: block(64, 2, 10),
    "strided": strided, "held": held, "memory": memory, "spans": spans, "speeds": speeds, "whole": whole,
}


@torch.no_grad()
def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--checkpoint", type=Path, metavar="FILE", help="write a true-sized ear of random weights and nothing else")
    options = parser.parse_args()
    torch.manual_seed(1)
    torch.set_num_threads(1)
    if options.checkpoint:
        torch.save(randomise(net.Ear()).state_dict(), options.checkpoint)
        return
    OUT.mkdir(parents=True, exist_ok=True)
    for name, make in VECTORS.items():
        torch.manual_seed(1)
        vectors = {"script": "scripts/ear/vectors.py", "torch": torch.__version__, **make()}
        (OUT / f"{name}.json").write_text(json.dumps(vectors, indent=1) + "\n")


if __name__ == "__main__":
    main()
