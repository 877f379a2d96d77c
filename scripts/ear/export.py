"""Writes the ear's weights in the form that the library reads (packages/core/src/ear/readWeights.ts).

    python3 scripts/ear/export.py EAR.pt TURNS.pt --ship            # weights.ts and ear.json of the library
    python3 scripts/ear/export.py EAR.pt TURNS.pt --bin FILE.bin    # any other model, for `loadEar`
    python3 scripts/ear/export.py EAR.pt TURNS.pt --loss            # what rounding the weights does to the outputs

EAR.pt is the state_dict of net.Ear in 32-bit floats, TURNS.pt that of turns.TurnReader; EAR.json and TURNS.json beside them,
what they were trained on, go into ear.json.

A file begins with the letters EVEA, the length of the header (unsigned, 32 bits, little end first) and the header in JSON,
filled up with spaces to a multiple of four. Then come the layers in the order of the header, every column of numbers filled
up with zeros to a multiple of four bytes. A matrix (pointwise, strided, recurrent) has a scale for every output (32-bit
float), biases (16-bit float) and integers of 8 bits, 16 for the filter bank, in the order of the kernels: outputs in blocks
of eight, the last one filled up; within a block two columns of eight outputs, the next two, and so on. Columns go tap by
tap, channel by channel. Outputs of the recurrent matrices come by eights of each gate. A depthwise layer has biases and
weights, tap by tap, in 16-bit floats; its normalisation is folded in.
"""
import argparse
import hashlib
import json
import struct
from pathlib import Path

import numpy as np
import torch
from torch.nn import functional as F

import net
import turns

FORMAT = 1
"""Of the file; a reader refuses others."""
VERSION = "4"
"""Of the model: raised when it is another one, not only trained anew."""
BITS = 8
"""Of a weight, its sign included."""
BANK_BITS = 13
"""Of a weight of the filter bank, whose stop bands would show coarser steps."""
NO_OUTPUT = -65504.0
"""Bias of outputs that fill up a block, the lowest number of 16 bits: no chance in a soft maximum."""
CORE = Path(__file__).resolve().parents[2] / "packages/core/src/ear"


class Writer:
    """Collects layers: what the header says of each, and their numbers."""

    def __init__(self) -> None:
        self.layers, self.payload = [], bytearray()

    def put(self, values: np.ndarray, kind: str) -> None:
        with np.errstate(over="ignore"):
            column = np.ascontiguousarray(values, kind)
        if not np.isfinite(column).all():
            raise ValueError(f"{self.layers[-1]['name']}: not finite as {kind}")
        self.payload += column.tobytes()
        self.payload += bytes(-len(self.payload) % 4)

    def matrix(self, name: str, weights: torch.Tensor, biases: torch.Tensor, bits: int = BITS, **more: int) -> None:
        """weights: [outputs, an even number of inputs]."""
        outputs, width = weights.shape
        integers, scales = rounded(weights, bits)
        # `sum` bounds what a reader may multiply by and add up in 32 bits.
        self.layers.append({"name": name, "kind": "matrix", "outputs": outputs, "width": width, "bits": bits,
                            "sum": int(integers.abs().sum(1).max()), **more})
        fill = -outputs % 8
        self.put(F.pad(scales, (0, fill)).numpy(), "<f4")
        self.put(F.pad(biases, (0, fill), value=NO_OUTPUT).numpy(), "<f2")
        blocks = F.pad(integers, (0, 0, 0, fill)).view(-1, 8, width // 2, 2).transpose(1, 2)
        self.put(blocks.numpy(), "<i1" if bits <= 8 else "<i2")

    def depth(self, name: str, weights: torch.Tensor, biases: torch.Tensor, dilation: int) -> None:
        """weights: [channels, taps]."""
        channels, taps = weights.shape
        self.layers.append({"name": name, "kind": "depth", "channels": channels, "taps": taps, "dilation": dilation})
        self.put(biases.numpy(), "<f2")
        self.put(weights.T.numpy(), "<f2")

    def file(self) -> bytes:
        header = {
            "format": FORMAT, "version": VERSION, "hash": hashlib.sha256(self.payload).hexdigest()[:8],
            "level": {"steps": net.LEVEL_SPANS, "preemphasis": net.PREEMPHASIS, "floor": net.LEVEL_FLOOR},
            "layers": self.layers,
        }
        text = json.dumps(header, separators=(",", ":")).encode()
        text += b" " * (-len(text) % 4)
        return b"EVEA" + struct.pack("<I", len(text)) + text + self.payload


def rounded(weights: torch.Tensor, bits: int) -> tuple[torch.Tensor, torch.Tensor]:
    """Integers and, for every row, what they are multiplied by."""
    most = 2 ** (bits - 1) - 1
    scales = weights.abs().amax(1).clamp_min(1e-12) / most
    return torch.round(weights / scales[:, None]).clamp(-most, most), scales


def folded(block: net.Block) -> tuple[torch.Tensor, torch.Tensor]:
    """Weights [channels, taps] and biases of a depthwise convolution with the normalisation behind it."""
    gain = block.norm.weight / torch.sqrt(block.norm.running_var + block.norm.eps)
    return block.depth.weight[:, 0] * gain[:, None], block.norm.bias - block.norm.running_mean * gain


def rows(weights: torch.Tensor) -> torch.Tensor:
    """[outputs, channels, taps] as [outputs, taps · channels]."""
    return weights.transpose(1, 2).flatten(1)


def put_convolution(writer: Writer, name: str, conv: torch.nn.Conv1d) -> None:
    bits = BANK_BITS if name == "bank" else BITS
    writer.matrix(name, rows(conv.weight), conv.bias, bits, taps=conv.kernel_size[0], stride=conv.stride[0], pad=conv.padding[0])


def put_block(writer: Writer, name: str, block: net.Block) -> None:
    writer.depth(f"{name}.depth", *folded(block), block.depth.dilation[0])
    writer.matrix(f"{name}.wide", block.wide.weight[:, :, 0], block.wide.bias)
    writer.matrix(f"{name}.narrow", block.narrow.weight[:, :, 0], block.narrow.bias)


def put_memory(writer: Writer, name: str, gru: torch.nn.GRU) -> None:
    ways = {"forward": "l0", "backward": "l0_reverse"}
    inputs, biases = ([getattr(gru, f"{part}_ih_{way}") for way in ways.values()] for part in ("weight", "bias"))
    writer.matrix(f"{name}.input", torch.cat(inputs), torch.cat(biases))
    for way, suffix in ways.items():
        own, bias = (getattr(gru, f"{part}_hh_{suffix}") for part in ("weight", "bias"))
        writer.matrix(f"{name}.{way}", by_eights(own), by_eights(bias))


def by_eights(x: torch.Tensor) -> torch.Tensor:
    """Three gates one after the other as eight rows of each gate, the next eight of each, and so on."""
    return x.unflatten(0, (3, -1, 8)).transpose(0, 1).flatten(0, 2)


@torch.no_grad()
def packed(module: torch.nn.Module) -> bytes:
    """File of a network: of its blocks, convolutions and recurrent layers by name."""
    writer = Writer()
    for name, part in module.named_modules():
        name = name.removeprefix("ear.")
        if isinstance(part, net.Block):
            put_block(writer, name, part)
        elif isinstance(part, torch.nn.GRU):
            put_memory(writer, name, part)
        elif isinstance(part, torch.nn.Conv1d) and not name.endswith((".depth", ".wide", ".narrow")):
            put_convolution(writer, name, part)
    return writer.file()


@torch.no_grad()
def as_read(module: torch.nn.Module) -> torch.nn.Module:
    """Changes the weights to those that a reader of the file sees, and returns the network."""
    def half(x: torch.Tensor) -> torch.Tensor:
        return x.half().float()

    for name, part in module.named_modules():
        if isinstance(part, net.Block):
            weights, biases = folded(part)
            part.depth.weight[:, 0] = half(weights)
            part.norm.weight.fill_(1)
            part.norm.running_var.fill_(1 - part.norm.eps)
            part.norm.running_mean.zero_()
            part.norm.bias.copy_(half(biases))
        elif isinstance(part, (torch.nn.Conv1d, torch.nn.GRU)) and not name.endswith(".depth"):
            bits = BANK_BITS if name.removeprefix("ear.") == "bank" else BITS
            for key, values in part.named_parameters():
                if "bias" in key:
                    values.copy_(half(values))
                else:
                    integers, scales = rounded(values.flatten(1), bits)
                    values.copy_((integers * scales[:, None]).view_as(values))
    return module


class Whole(torch.nn.Module):
    """Both networks: their layers by name, those of the second with `turns.` before them."""

    def __init__(self, ear: net.Ear, reader: turns.TurnReader):
        super().__init__()
        self.ear, self.turns = ear, reader.settled()


def load_turns(checkpoint: Path) -> turns.TurnReader:
    state = torch.load(checkpoint, map_location="cpu")
    reader = turns.TurnReader(len(state["enter.bias"]))
    reader.load_state_dict(state)
    return reader.float().eval()


def load(checkpoint: Path) -> net.Ear:
    """Network of a checkpoint; sizes come from it."""
    state = torch.load(checkpoint, map_location="cpu")
    fine, turn, beat, long = (len(state[f"{name}.bias"]) for name in ("mix", "to_turn", "to_beat", "to_long"))
    ear = net.Ear(fine, turn, beat, long)
    ear.load_state_dict(state)
    return ear.float().eval()


def made_signal(seconds: int = 20) -> torch.Tensor:
    """Pulses that speed up from 60 to 120 a second and every third of which is missing, in noise."""
    generator = torch.Generator().manual_seed(1)
    n = seconds * net.RATE_HZ // net.UNIT * net.UNIT
    time = torch.arange(n) / net.RATE_HZ
    turn = 60 * time + 30 / seconds * time.square()
    pulse = torch.exp(-40 * (turn % 1)) * torch.sin(2 * torch.pi * 180 * time) * (turn.floor() % 3 > 0)
    return (0.2 * pulse + 0.02 * torch.randn(n, generator=generator))[None]


@torch.no_grad()
def print_loss(checkpoint: Path) -> None:
    x = made_signal()
    speed, fine = load(checkpoint)(x)
    speed_read, fine_read = as_read(load(checkpoint))(x)
    differences = {"chance of a speed": speed_read.softmax(1) - speed.softmax(1)}
    differences.update((name, fine_read[:, k] - fine[:, k]) for k, name in enumerate(net.OUTPUTS))
    for name, difference in differences.items():
        print(f"{name}: rms {difference.square().mean().sqrt():.5f}, largest {difference.abs().max():.5f}")


DIGITS = np.array([code for code in range(40, 127) if chr(code) not in "<\\"], np.uint8)
"""85 letters that stand in a string and in a page as they are: of value 0 to 84."""


def base85(data: bytes) -> str:
    """Five letters for every four bytes (length a multiple of 4, little end first), the highest digit first."""
    words = np.frombuffer(data, "<u4").astype(np.uint64)
    return DIGITS[np.stack([words // 85**k % 85 for k in (4, 3, 2, 1, 0)], 1).astype(int)].tobytes().decode()


def ship(checkpoints: tuple[Path, Path], data: bytes) -> None:
    """Writes what the library carries."""
    (CORE / "weights.ts").write_text(f"""// Written by scripts/ear/export.py; do not edit.

/** The ear's weights, as fromBase85 reads them; ear.json tells where they come from. */
export const EAR_WEIGHTS: string =
  '{base85(data)}'
""")
    card = {"version": version(data), "bytes": len(data)}
    ear, reader = (file.with_suffix(".json") for file in checkpoints)
    card.update(json.loads(ear.read_text()) if ear.exists() else {})
    card["turns"] = json.loads(reader.read_text()) if reader.exists() else {}
    (CORE / "ear.json").write_text(json.dumps(card, indent=2, ensure_ascii=False) + "\n")


def version(data: bytes) -> str:
    header = json.loads(data[8:8 + struct.unpack("<I", data[4:8])[0]])
    return f"{header['version']}-{header['hash']}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("ear", type=Path)
    parser.add_argument("turns", type=Path)
    parser.add_argument("--ship", action="store_true", help="write weights.ts and ear.json of the library")
    parser.add_argument("--bin", type=Path, metavar="FILE", help="write a file for loadEar")
    parser.add_argument("--loss", action="store_true", help="print what rounding does to the outputs for a made signal")
    options = parser.parse_args()
    data = packed(Whole(load(options.ear), load_turns(options.turns)))
    print(f"{version(data)}: {len(data)} bytes, {len(base85(data))} as text")
    if options.bin:
        options.bin.write_bytes(data)
    if options.ship:
        ship((options.ear, options.turns), data)
    if options.loss:
        print_loss(options.ear)


if __name__ == "__main__":
    main()
