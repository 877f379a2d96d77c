"""Writes simulated clips with the truth of every turn, to look at, to listen to, and to calibrate on.

    python3 write_clips.py FOLDER --count 400 --seed 9 [--sounds sounds.npz] [--seconds 10]

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
from simulate import Clips, clips
from train import load_banks


def write(c: Clips, k: int, name: Path) -> None:
    x = c.waves[k].numpy()
    with wave.open(str(name.with_suffix(".wav")), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes((x.clip(-1, 1) * 32767).astype("<i2").tobytes())
    t, seconds = c.turns, len(x) / RATE_HZ
    at, sounds = t.at_s[k].numpy(), t.sounds[k].numpy() & bool(c.engine[k])
    end = np.append(at[1:], np.inf)
    keep = sounds & (at >= 0) & (end <= seconds) & np.append(sounds[1:], False)
    column = lambda v, digits: [round(float(x), digits) for x in v[keep]]
    truth = {
        "kind": "engine" if c.engine[k] else "none",
        "turnStartS": column(at, 5),
        "turnEndS": column(end, 5),
        "pulseS": column(at, 5),
        "speedRpm": column(60 / np.maximum(end - at, 1e-4), 1),
        "burn": column(t.burn[k].numpy(), 3),
        "coasting": [int(x) for x in t.dead[k].numpy()[keep]],
    }
    name.with_suffix(".truth.json").write_text(json.dumps(truth))


if __name__ == "__main__":
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("folder", type=Path)
    parse.add_argument("--count", type=int, default=400)
    parse.add_argument("--seed", type=int, default=9)
    parse.add_argument("--seconds", type=float, default=10)
    parse.add_argument("--sounds")
    a = parse.parse_args()
    a.folder.mkdir(parents=True, exist_ok=True)
    banks = load_banks(a.sounds, "cpu")
    torch.manual_seed(a.seed)
    for first in range(0, a.count, 16):
        made = clips(min(16, a.count - first), int(a.seconds * RATE_HZ), "cpu", banks)
        for k in range(len(made.engine)):
            write(made, k, a.folder / f"{a.seed}-{first + k:04d}")
