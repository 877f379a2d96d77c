"""Weights as they are shipped, as checkpoints to train on from: what the repository holds is enough to begin with.

    python3 scripts/ear/unpack.py FILE.bin EAR.pt TURNS.pt
    python3 scripts/ear/unpack.py packages/core/src/ear/weights.ts EAR.pt TURNS.pt

What export.py has rounded stays rounded, and normalisation that it has folded in stays so: training gives it statistics again
(normalise.py). Features that a second network has come to know since then, at the end of the others, count nothing at first.
"""
import argparse
import json
import struct
from pathlib import Path

import numpy as np
import torch
from torch import nn
from torch.nn import functional as F

import export
import net
import turns


class Reader:
    """Takes layers out of a file, in its order: of each, weights and biases by its name."""

    def __init__(self, data: bytes):
        if data[:4] != b"EVEA":
            raise ValueError("no file of weights: it does not begin with EVEA")
        size = struct.unpack("<I", data[4:8])[0]
        self.data, self.at, self.layers = data, 8 + size, {}
        for layer in json.loads(data[8:self.at])["layers"]:
            self.layers[layer["name"]] = (self.depth if layer["kind"] == "depth" else self.matrix)(layer)

    def take(self, count: int, kind: str) -> torch.Tensor:
        size = count * np.dtype(kind).itemsize
        column = np.frombuffer(self.data, kind, count, self.at).astype(np.float32)
        self.at += size + -size % 4
        return torch.from_numpy(column)

    def matrix(self, layer: dict) -> tuple[torch.Tensor, torch.Tensor]:
        """Weights [outputs, width] and biases [outputs]."""
        outputs, width = layer["outputs"], layer["width"]
        filled = outputs + -outputs % 8
        scales, biases = self.take(filled, "<f4"), self.take(filled, "<f2")
        integers = self.take(filled * width, "<i1" if layer["bits"] <= 8 else "<i2")
        rows = integers.view(filled // 8, width // 2, 8, 2).transpose(1, 2).reshape(filled, width)
        return (rows * scales[:, None])[:outputs], biases[:outputs]

    def depth(self, layer: dict) -> tuple[torch.Tensor, torch.Tensor]:
        """Weights [channels, taps] and biases [channels]."""
        channels, taps = layer["channels"], layer["taps"]
        biases = self.take(channels, "<f2")
        return self.take(channels * taps, "<f2").view(taps, channels).T, biases


def data_of(file: Path) -> bytes:
    """What a .bin holds, or the text in weights.ts."""
    if file.suffix != ".ts":
        return file.read_bytes()
    letters = np.frombuffer(file.read_text().split("'")[-2].encode(), np.uint8)
    values = np.zeros(256, np.uint64)
    values[export.DIGITS] = np.arange(85)
    words = (values[letters].reshape(-1, 5) * 85 ** np.arange(4, -1, -1).astype(np.uint64)).sum(1)
    return words.astype("<u4").tobytes()


@torch.no_grad()
def fill(module: nn.Module, reader: Reader, prefix: str = "") -> nn.Module:
    """Puts the weights of a file into a network whose layers have the same names."""
    for name, part in module.named_modules():
        key = prefix + name
        if isinstance(part, net.Block):
            weights, biases = reader.layers[f"{key}.depth"]
            part.depth.weight.copy_(weights[:, None])
            part.norm.running_mean.zero_()
            part.norm.running_var.fill_(1 - part.norm.eps)
            part.norm.weight.fill_(1)
            part.norm.bias.copy_(biases)
            for conv, layer in ((part.wide, "wide"), (part.narrow, "narrow")):
                weights, biases = reader.layers[f"{key}.{layer}"]
                conv.weight.copy_(weights[..., None])
                conv.bias.copy_(biases)
        elif isinstance(part, nn.GRU):
            fill_memory(part, reader, key)
        elif isinstance(part, nn.Conv1d) and not key.endswith((".depth", ".wide", ".narrow")):
            weights, biases = reader.layers[key]
            taps = part.kernel_size[0]
            weights = weights.unflatten(1, (taps, -1)).transpose(1, 2)
            part.weight.copy_(F.pad(weights, (0, 0, 0, part.in_channels - weights.shape[1])))
            part.bias.copy_(biases)
    return module


def fill_memory(gru: nn.GRU, reader: Reader, key: str) -> None:
    inputs, biases = reader.layers[f"{key}.input"]
    ways = {"l0": "forward", "l0_reverse": "backward"}
    for (suffix, way), own, bias in zip(ways.items(), inputs.chunk(2), biases.chunk(2)):
        getattr(gru, f"weight_ih_{suffix}").copy_(own)
        getattr(gru, f"bias_ih_{suffix}").copy_(bias)
        for part, values in zip(("weight", "bias"), reader.layers[f"{key}.{way}"]):
            getattr(gru, f"{part}_hh_{suffix}").copy_(values.unflatten(0, (-1, 3, 8)).transpose(0, 1).flatten(0, 2))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("weights", type=Path)
    parser.add_argument("ear", type=Path)
    parser.add_argument("turns", type=Path)
    options = parser.parse_args()
    reader = Reader(data_of(options.weights))
    torch.save(fill(net.Ear(), reader).state_dict(), options.ear)
    judge = turns.TurnReader()
    judge.norm.running_var.fill_(1 - judge.norm.eps)
    torch.save(fill(judge, reader, "turns.").state_dict(), options.turns)


if __name__ == "__main__":
    main()
