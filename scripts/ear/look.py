"""How an ear does on the labelled recordings, straight from its outputs: a first look after training, before anything is read.

    python3 look.py recordings.npz EAR.pt [--fold K]      all recordings, or those of a fold alone
"""
import argparse
import json

import numpy as np
import torch

import losses
from net import BINS_PER_OCTAVE, SPEED_BINS, SPEED_FRAMES, SPEED_LOW_HZ, UNIT, Ear
from recordings import LIKELY, STATES
from train import FOLDS

FIRM = {"clean": (0, 0.15), "alternate": (0.4, 0.6), "third": (0.25, 0.75), "fourth": (0.2, 0.8), "irregular": (0.1, 0.9)}
"""Share of skips with which a firm state counts as right here."""


@torch.no_grad()
def hear(ear: Ear, wave: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    x = torch.tensor(wave, dtype=torch.float32)[None] / 32768
    x = torch.nn.functional.pad(x, (0, -x.shape[1] % UNIT))
    speeds, out = ear(x)
    return speeds[0].softmax(0).numpy(), out[0].numpy()


def main() -> None:
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("recordings")
    parse.add_argument("ear")
    parse.add_argument("--fold", type=int)
    parse.add_argument("--verbose", action="store_true")
    a = parse.parse_args()
    ear = Ear().eval()
    ear.load_state_dict(torch.load(a.ear, map_location="cpu"))
    data = np.load(a.recordings)
    numbers = None if a.fold is None else set(json.loads(FOLDS.read_text())[str(a.fold)])
    wanted = lambda name: numbers is None or str(name).split("-")[1] in numbers
    speed_right, speed_of, states, coasts = 0, 0, {k: [0, 0] for k in FIRM}, []
    for k, name in enumerate(data["name"]):
        if not wanted(name):
            continue
        chances, out = hear(ear, data["wave"][k])
        label = data["speed"][k]
        frames = len(label)
        middle = np.arange(frames // SPEED_FRAMES) * SPEED_FRAMES + SPEED_FRAMES // 2
        best = chances[:, : len(middle)].argmax(0)
        hz = SPEED_LOW_HZ * 2 ** (best / BINS_PER_OCTAVE)
        known = label[middle] > 0
        right = (np.abs(hz / np.maximum(label[middle], 1) - 1) < 0.04) & (best < SPEED_BINS) & known
        speed_right, speed_of = speed_right + right.sum(), speed_of + known.sum()
        skipped = 1 / (1 + np.exp(out[losses.FIRED, :frames]))
        engine = 1 / (1 + np.exp(-out[losses.ENGINE, :frames]))
        coasting = 1 / (1 + np.exp(-out[losses.COASTING, :frames]))
        said = []
        edges = np.flatnonzero(np.diff(np.r_[-1, data["state"][k], -1]))
        for first, end in zip(edges[:-1], edges[1:]):
            code = int(data["state"][k][first])
            if code in (0, LIKELY) or code >= LIKELY:
                continue
            share = skipped[first:end].mean()
            low, high = FIRM[STATES[code]]
            states[STATES[code]][1] += 1
            states[STATES[code]][0] += low <= share <= high
            said.append(f"{STATES[code]}:{share:.2f}")
        if (data["coasting"][k] == 1).any():
            coasts.append(coasting[data["coasting"][k] == 1].mean())
        if a.verbose:
            print(name, f"speed {right.sum() / max(1, known.sum()):.2f} engine {engine.mean():.2f}", *said)
    print(f"speed right {speed_right / speed_of:.3f} of {speed_of} frames; coasting on overruns {np.mean(coasts):.2f}")
    print("firm states", sum(v[0] for v in states.values()), "of", sum(v[1] for v in states.values()), states)
    others = [(str(n), hear(ear, w)) for n, w in zip(data["other_name"], data["other"]) if wanted(n)]
    taken = {n: round(float((c[-1] < 0.5).mean()), 2) for n, (c, _) in others}
    print("others with speeds told, share of time:", {n: v for n, v in taken.items() if v > 0.05}, "of", len(taken))


if __name__ == "__main__":
    main()
