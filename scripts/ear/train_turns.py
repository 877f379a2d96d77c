"""Trains the network that goes from turn to turn, on simulated clips that the first network has heard.

    python3 train_turns.py gather DATA.npz --ears EAR.pt ... --clips 3000 --seed 9701 --sounds sounds.npz
    python3 train_turns.py train OUT.pt DATA.npz ... --ear 0 --steps 1500 [--init BEGIN.pt]

`gather` keeps the turns of the clips as numbers, with the log-odds of every ear named; `train` learns from those of one.
No recording trains it. On a processor: a minute for 500 clips and one ear, a minute for 300 steps.
"""
import argparse
import hashlib
import json
import math
from pathlib import Path

import numpy as np
import torch
from torch.nn import functional as F

import turns
from losses import FIRED, PARTIAL_HIGH, PARTIAL_LOW
from net import BINS_PER_OCTAVE, SPEED_FRAMES, SPEED_LOW_HZ, Ear
from simulate import clips
from train import SAMPLES, load_banks

BATCH = 16
"""Clips heard at a time."""
RUNS, LENGTH = 24, 320
"""Runs of turns to a step, and most turns of each."""
SHORTEST_S, LONGEST_S, LEAST_TURNS = 0.002, 0.08, 20
"""Turns that count, and fewest to a clip."""
BURN, DEAD, SPEED_RIGHT = range(3)
"""Columns of the truth: share of the charge burnt, nothing meant to fire, the first network told the speed."""


def load_ear(file: str) -> Ear:
    ear = Ear().eval()
    ear.load_state_dict(torch.load(file, map_location="cpu"))
    return ear


@torch.no_grad()
def gather(a: argparse.Namespace) -> None:
    torch.manual_seed(a.seed)
    chance = np.random.default_rng(a.seed)
    banks, ears = load_banks(a.sounds, "cpu"), [load_ear(file) for file in a.ears]
    likeness, logits, truth, lengths = [], [], [], []
    for _ in range(math.ceil(a.clips / BATCH)):
        made = clips(BATCH, SAMPLES, "cpu", banks, engines=1.0)
        heard = [ear(made.waves) for ear in ears]
        speed_hz = (SPEED_LOW_HZ * 2 ** (heard[-1][0].argmax(1).float() / BINS_PER_OCTAVE)).numpy()
        for k in range(BATCH):
            at, length = made.turns.at_s[k].numpy().astype(float), made.turns.length_s[k].numpy().astype(float)
            whole = made.turns.sounds[k].numpy() & (at >= 0) & (at + length < SAMPLES / 16000 - 0.004)
            whole &= (length > SHORTEST_S) & (length < LONGEST_S)
            if whole.sum() < LEAST_TURNS:
                continue
            begin, lasts = unsteady(chance, at[whole], length[whole])
            middle = ((begin + lasts / 2) * 1000 / SPEED_FRAMES).astype(int).clip(0, speed_hz.shape[1] - 1)
            right = np.abs(speed_hz[k][middle] * length[whole] - 1) < 0.06
            sounds = turns.levelled(made.waves[k].numpy())
            likeness.append(np.concatenate([turns.likeness(turns.pictures(y, begin, lasts)) for y in sounds], 1))
            parts = lambda out: turns.parts_of(out[k, FIRED].numpy(), begin, lasts, turns.PARTS, 1000)
            logits.append(np.stack([parts(out) for _, out in heard], 1))
            truth.append(np.stack([made.turns.burn[k].numpy()[whole], made.turns.dead[k].numpy()[whole], right], 1))
            lengths.append(len(begin))
    half = lambda x: np.concatenate(x).astype(np.float16)
    np.savez(a.data, c=half(likeness), l=half(logits), y=np.concatenate(truth).astype(np.float32), n=np.array(lengths))
    print(len(lengths), "clips,", sum(lengths), "turns")


def unsteady(chance: np.random.Generator, at: np.ndarray, length: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Begin and length of turns as they are read from a recording: a little early or late, and wavering."""
    wavers = np.convolve(chance.normal(size=len(at)), np.hanning(11)[1:-1] / 2.2, "same")
    begin = at + length * (0.05 * chance.normal() + 0.012 * abs(chance.normal()) * wavers)
    lasts = np.diff(begin, append=begin[-1] + length[-1])
    return begin, np.where(np.abs(lasts - length) > 0.3 * length, length, lasts)


def load(files: list[str], ear: int) -> list[tuple[np.ndarray, np.ndarray]]:
    """Features and truth of every clip."""
    runs = []
    for file in files:
        data = np.load(file)
        values = np.concatenate([data["c"], data["l"][:, ear]], 1).astype(np.float32)
        values = np.nan_to_num(np.pad(values, ((0, 0), (0, turns.FEATURES - values.shape[1]))))
        truth, edges = data["y"], np.r_[0, np.cumsum(data["n"])]
        runs += [(values[a:b], truth[a:b]) for a, b in zip(edges[:-1], edges[1:])]
    return runs


def batch(runs: list, chance: np.random.Generator) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """Features [runs, FEATURES, turns], truth [runs, turns, 3], and 1 where there is a turn; likeness and log-odds varied."""
    x, y, there = np.zeros((RUNS, LENGTH, turns.FEATURES), np.float32), np.zeros((RUNS, LENGTH, 3), np.float32), np.zeros((RUNS, LENGTH), np.float32)
    logits = slice(2 * turns.LIKENESS, 2 * turns.LIKENESS + turns.PARTS)
    for k, i in enumerate(chance.integers(0, len(runs), RUNS)):
        values, truth = runs[i]
        first = chance.integers(0, max(1, len(values) - LENGTH + 1))
        part = values[first : first + LENGTH].copy()
        part[:, logits] = part[:, logits] * np.exp(0.2 * chance.normal()) + 0.3 * chance.normal()
        for begin in (0, turns.LIKENESS):
            part[:, begin : begin + turns.LAGS] *= max(0.4, 1 - 0.15 * abs(chance.normal()))
        x[k, : len(part)], y[k, : len(part)], there[k, : len(part)] = part, truth[first : first + LENGTH, :3], 1
    return torch.tensor(x).transpose(1, 2).contiguous(), torch.tensor(y), torch.tensor(there)


def loss_of(logits: torch.Tensor, truth: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    wanted = ((truth[..., BURN] - PARTIAL_LOW) / (PARTIAL_HIGH - PARTIAL_LOW)).clamp(0, 1)
    weight = there * (1 - truth[..., DEAD]) * (0.2 + 0.8 * truth[..., SPEED_RIGHT])
    return (F.binary_cross_entropy_with_logits(logits, wanted, reduction="none") * weight).sum() / weight.sum().clamp_min(1)


def train(a: argparse.Namespace) -> None:
    torch.manual_seed(a.seed)
    chance = np.random.default_rng(a.seed)
    runs, reader = load(a.data, a.ear), turns.TurnReader()
    if a.init:
        reader.load_state_dict(torch.load(a.init, map_location="cpu"))
    optimiser = torch.optim.AdamW(reader.parameters(), a.rate, betas=(0.9, 0.98), weight_decay=0.02)
    for step in range(a.steps):
        for group in optimiser.param_groups:
            group["lr"] = a.rate * min(1, (step + 1) / 50) * (0.5 + 0.5 * math.cos(math.pi * step / a.steps)) + 1e-6
        x, truth, there = batch(runs, chance)
        loss = loss_of(reader(x), truth, there)
        optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(reader.parameters(), 2.0)
        optimiser.step()
        if (step + 1) % 100 == 0:
            print(step + 1, f"{loss.item():.3f}", flush=True)
    torch.save(reader.state_dict(), a.out)
    digest = lambda file: hashlib.sha256(Path(file).read_bytes()).hexdigest()[:16]
    card = {"settings": {k: v for k, v in vars(a).items() if k != "run"}, "clips": len(runs), "files": {Path(f).name: digest(f) for f in a.data}}
    Path(a.out).with_suffix(".json").write_text(json.dumps(card, indent=1) + "\n")


def main() -> None:
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ways = parse.add_subparsers(required=True)
    first = ways.add_parser("gather")
    first.add_argument("data")
    first.add_argument("--ears", nargs="+", required=True)
    first.add_argument("--clips", type=int, default=3000)
    first.add_argument("--seed", type=int, default=9701)
    first.add_argument("--sounds", help="bank of other sounds, made by sounds.py")
    first.set_defaults(run=gather)
    second = ways.add_parser("train")
    second.add_argument("out")
    second.add_argument("data", nargs="+")
    second.add_argument("--ear", type=int, default=0, help="which of the ears that `gather` was given, from 0")
    second.add_argument("--steps", type=int, default=1500)
    second.add_argument("--rate", type=float, default=3e-3, help="highest learning rate")
    second.add_argument("--seed", type=int, default=1)
    second.add_argument("--init", help="weights to begin with")
    second.set_defaults(run=train)
    a = parse.parse_args()
    a.run(a)


if __name__ == "__main__":
    main()
