"""How far the simulator's turns are like each other, against those of the labelled recordings.

    python3 likeness.py recordings.npz [--sounds sounds.npz] [--clips 96] [--seed 7]

The waveform of every turn (64 points, less the mean of the nine turns about it) is correlated with those of the next turns:
alternation shows as minus at one turn and plus at two, every third as plus at three. The last column tells how strong what is
left is against the mean: in clean running it is what noise and unevenness make. Where both tables differ, believe the recordings.
"""
import argparse

import numpy as np
import torch

import turns
from net import LEVEL_STEP, RATE_HZ, inputs
from recordings import STATES
from simulate import clips
from train import SAMPLES, load_banks

LAGS = 4
"""Turns ahead that are shown."""
SPAN = 40
"""Turns to a value."""


def shown(wave: torch.Tensor, begin: np.ndarray, length: np.ndarray) -> np.ndarray:
    """Of the turns of a wave: correlations with the next LAGS turns, then the strength; begin and length in seconds."""
    wave = torch.nn.functional.pad(wave[None], (0, -len(wave) % LEVEL_STEP))
    p = turns.parts_of(inputs(wave)[:, 0], torch.tensor(begin)[None], torch.tensor(length)[None], turns.POINTS, RATE_HZ)
    none = torch.zeros(1, len(begin))
    found = turns.likeness(p, none, none + 1)[0].numpy()
    return np.concatenate([found[:, :LAGS], found[:, turns.LAGS : turns.LAGS + 1]], 1)


def of_recordings(file: str) -> dict[str, list[np.ndarray]]:
    data, found = np.load(file), {}
    for wave, speed, state in zip(data["wave"], data["speed"], data["state"]):
        sound = torch.tensor(wave / 32768, dtype=torch.float32)
        edges = np.flatnonzero(np.diff(np.r_[-1, state, -1]))
        for a, b in zip(edges[:-1], edges[1:]):
            if not 0 < state[a] < len(STATES) or (speed[a:b] <= 0).any():
                continue
            turned = np.r_[0, np.cumsum(speed[a:b]) / 1000]
            starts = np.interp(np.arange(int(turned[-1]) + 1), turned, np.arange(a, b + 1)) / 1000
            if len(starts) > 12:
                values = shown(sound, starts[:-1], np.diff(starts))
                found.setdefault(STATES[state[a]], []).append(values[:-LAGS].mean(0))
    return found


def of_simulator(count: int, seed: int, sounds: str | None) -> dict[str, list[np.ndarray]]:
    torch.manual_seed(seed)
    found: dict[str, list[np.ndarray]] = {}
    banks = load_banks(sounds, "cpu")
    for _ in range(0, count, 16):
        c = clips(16, SAMPLES, "cpu", banks, engines=1.0)
        for k in range(16):
            at, length = c.turns.at_s[k].numpy(), c.turns.length_s[k].numpy()
            inside = (c.turns.sounds[k] & ~c.turns.dead[k]).numpy() & (at > 0.02) & (at + length < SAMPLES / RATE_HZ - 0.02)
            if inside.sum() < SPAN + LAGS:
                continue
            values = shown(c.waves[k], at[inside], length[inside])
            fired = c.turns.burn[k].numpy()[inside] > 0.5
            for first in range(0, len(fired) - SPAN, SPAN):
                name = state_of(fired[first : first + SPAN])
                found.setdefault(name, []).append(values[first : first + SPAN].mean(0))
    return found


def state_of(fired: np.ndarray) -> str:
    if fired.mean() > 0.97:
        return "clean"
    for period, name in ((2, "alternate"), (3, "third"), (4, "fourth")):
        if (fired[period:] == fired[:-period]).mean() > 0.95 and 0.2 < fired.mean() < 0.8:
            return name
    return "irregular"


def show(title: str, found: dict[str, list[np.ndarray]]) -> None:
    print(f"{title}: correlations at lags 1 to {LAGS}, then the strength; 10, 50 and 90 of 100 are below")
    for name in STATES[1:]:
        if name in found:
            low, middle, high = np.quantile(found[name], (0.1, 0.5, 0.9), axis=0)
            print(f"  {name:10} {len(found[name]):5}  ", "  ".join(f"{a:5.2f} {b:5.2f} {c:5.2f} |" for a, b, c in zip(low, middle, high)))


if __name__ == "__main__":
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("recordings")
    parse.add_argument("--sounds")
    parse.add_argument("--clips", type=int, default=96)
    parse.add_argument("--seed", type=int, default=7)
    a = parse.parse_args()
    show("recordings, firm states", of_recordings(a.recordings))
    show("simulator", of_simulator(a.clips, a.seed, a.sounds))
