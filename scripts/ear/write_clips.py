"""Writes simulated clips with the truth of every turn, to look at, to listen to, and to calibrate on.

    python3 write_clips.py FOLDER --count 400 --seed 9 [--sounds sounds.npz] [--seconds 10]
    python3 write_clips.py FOLDER --changes 3 --count 100 --seed 13 [--sounds sounds.npz] --seconds 20

NAME.wav at 16 kHz, NAME.truth.json with a column for each of the turns' properties. Seeds of training and of calibration must
differ; training uses multiples of 1,000.
"""
import argparse
import json
import wave
from pathlib import Path

import numpy as np
import torch

from net import RATE_HZ
from simulate import Change, Clips, changes, clips
from simulate.engine import Turns
from train import load_banks


def write(wave_: torch.Tensor, truth: dict, name: Path) -> None:
    with wave.open(f"{name}.wav", "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes((wave_.numpy().clip(-1, 1) * 32767).astype("<i2").tobytes())
    Path(f"{name}.truth.json").write_text(json.dumps(truth))


def truth_of(t: Turns, k: int, from_s: float, seconds: float, sounds: np.ndarray) -> tuple[dict, np.ndarray]:
    """Columns of the turns of clip k that lie in a stretch, and which turns these are."""
    at = t.at_s[k].numpy() - from_s
    end = np.append(at[1:], np.inf)
    keep = sounds & (at >= 0) & (end <= seconds) & np.append(sounds[1:], False)
    column = lambda v, digits: [round(float(x), digits) for x in v[keep]]
    return {
        "turnStartS": column(at, 5),
        "turnEndS": column(end, 5),
        "pulseS": column(at, 5),
        "speedRpm": column(60 / np.maximum(end - at, 1e-4), 1),
        "burn": column(t.burn[k].numpy(), 3),
        "coasting": [int(x) for x in t.dead[k].numpy()[keep]],
    }, keep


def write_single(c: Clips, k: int, name: Path) -> None:
    sounds = c.turns.sounds[k].numpy() & bool(c.engine[k])
    truth, _ = truth_of(c.turns, k, 0, c.waves.shape[1] / RATE_HZ, sounds)
    write(c.waves[k], {"kind": "engine" if c.engine[k] else "none", **truth}, name)


def write_change(c: Change, k: int, clips_a_side: int, seconds: float, name: str) -> None:
    """NAME-before-1 and so on; a turn is `skipping` or not, and `share` is that of skipping in the long run."""
    n = int(seconds * RATE_HZ)
    for side, word in enumerate(("before", "after")):
        for clip in range(clips_a_side):
            from_s = (side * clips_a_side + clip) * seconds
            truth, keep = truth_of(c.turns, k, from_s, seconds, c.turns.sounds[k].numpy())
            truth["skipping"] = [int(x) for x in c.skipping[k].numpy()[keep]]
            truth["share"] = round(float(c.shares[k, side]), 5)
            wave_ = c.waves[k, side, clip * n : (clip + 1) * n]
            write(wave_, {"kind": "engine", **truth}, Path(f"{name}-{word}-{clip + 1}"))


if __name__ == "__main__":
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("folder", type=Path)
    parse.add_argument("--count", type=int, default=400)
    parse.add_argument("--seed", type=int, default=9)
    parse.add_argument("--seconds", type=float, default=10)
    parse.add_argument("--sounds")
    parse.add_argument("--changes", type=int, metavar="CLIPS", help="COUNT engines before and after a change, so many clips a side")
    a = parse.parse_args()
    a.folder.mkdir(parents=True, exist_ok=True)
    banks = load_banks(a.sounds, "cpu")
    torch.manual_seed(a.seed)
    for k in range(a.count if a.changes else 0):
        write_change(changes(1, a.changes * a.seconds, a.changes, banks), 0, a.changes, a.seconds, f"{a.folder / f'{a.seed}-{k:04d}'}")
    for first in range(0, 0 if a.changes else a.count, 16):
        made = clips(min(16, a.count - first), int(a.seconds * RATE_HZ), "cpu", banks)
        for k in range(len(made.engine)):
            write_single(made, k, a.folder / f"{a.seed}-{first + k:04d}")
