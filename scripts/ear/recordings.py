"""The labelled recordings as training material.

    python3 recordings.py FOLDER OUT.npz

reads `labels.json`, `engine/*.ogg` and `other/*.ogg` of FOLDER (with ffmpeg) into one file; `Recordings` draws batches of it.
"""
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch

from net import RATE_HZ, SPEED_HIGH_HZ, SPEED_LOW_HZ
from simulate.draw import Draw, sampled, unit
from simulate.others import Bank
from simulate.phone import recorded
from simulate.place import placed

NOT_FREE = {"other/1-40730-A.ogg"}
"""Under the Sampling Plus licence, which is no free one: nothing learns from it."""
CLIP = 5 * RATE_HZ
"""Samples of a recording."""
BORDER_S = 0.01
"""Left out at both ends of a labelled span: borders are good to 0.03 s."""
STATES = ("none", "clean", "alternate", "third", "fourth", "irregular")
"""Codes of the labelled states; LIKELY is added where the label says "likely"."""
LIKELY = 10


def read(folder: Path) -> dict[str, np.ndarray]:
    """Waves [clips, CLIP] int16 and labels [clips, 5000] a millisecond; -1 or 0 where nothing is known."""
    labels = json.loads((folder / "labels.json").read_text())
    engines = [label_clip(name, spans) for name, spans in sorted(labels.items())]
    others = sorted({str(p.relative_to(folder)) for p in (folder / "other").glob("*.ogg")} - NOT_FREE)
    return {
        "name": np.array(sorted(labels)),
        "wave": np.stack([decode(folder / name) for name in sorted(labels)]),
        **{key: np.stack([e[key] for e in engines]) for key in engines[0]},
        "other_name": np.array(others),
        "other": np.stack([decode(folder / name) for name in others]),
    }


def decode(file: Path) -> np.ndarray:
    command = ["ffmpeg", "-v", "error", "-i", str(file), "-ac", "1", "-ar", str(RATE_HZ), "-f", "s16le", "-"]
    wave = np.frombuffer(subprocess.run(command, capture_output=True, check=True).stdout, np.int16)
    return np.pad(wave[:CLIP], (0, max(0, CLIP - len(wave))))


def label_clip(name: str, spans: list[dict]) -> dict[str, np.ndarray]:
    frames = CLIP * 1000 // RATE_HZ
    time = (np.arange(frames) + 0.5) / 1000
    engine, coasting = np.full(frames, -1, np.int8), np.full(frames, -1, np.int8)
    speed, state = np.zeros(frames, np.float32), np.zeros(frames, np.int8)
    for span in spans:
        inside = (time >= span["startS"] + BORDER_S) & (time < span["endS"] - BORDER_S)
        if span["kind"] == "no-engine":
            engine[inside] = 0
        if span["kind"] != "engine":
            continue
        engine[inside] = 1
        if "crankHz" in span and span["speedConfidence"] == "sure":
            at, hz = np.array(span["crankHz"], float).T
            speed[inside] = np.interp(time[inside], at, hz)
        if span.get("regime") == "overrun":
            coasting[inside] = 1
        confidence = span.get("firingConfidence")
        if confidence in ("sure", "likely") and span["firing"] != "unclear":
            state[inside] = state_code(span) + (LIKELY if confidence == "likely" else 0)
            coasting[inside] = 0
    return {"engine": engine, "coasting": coasting, "speed": speed, "state": state}


def state_code(span: dict) -> int:
    pattern = span.get("pattern", "")
    if span["firing"] in ("clean", "alternate"):
        return STATES.index(span["firing"])
    if pattern == "period-3":
        return STATES.index("third")
    return STATES.index("fourth" if pattern == "period-4" else "irregular")


@dataclass(frozen=True)
class Labelled:
    """A batch of recordings and what is known of every millisecond, [clips, milliseconds]."""

    waves: torch.Tensor
    engine: torch.Tensor
    """1, 0, or -1 for not known."""
    coasting: torch.Tensor
    speed_hz: torch.Tensor
    """0 where not known."""
    state: torch.Tensor


class Recordings:
    """Draws batches from recordings, those of some numbers left out."""

    def __init__(self, file: str, without: set[str], device: str):
        data = np.load(file)
        number = lambda name: name.split("-")[1]
        keep = np.array([number(n) not in without for n in data["name"]])
        keep_other = np.array([number(n) not in without for n in data["other_name"]])
        on = lambda x: torch.tensor(x, device=device)
        self.names = [str(n) for n in data["name"][keep]] + [str(n) for n in data["other_name"][keep_other]]
        self.columns = {key: on(data[key][keep]) for key in ("wave", "engine", "coasting", "speed", "state")}
        self.others = on(data["other"][keep_other])
        self.device = device

    def draw(self, count: int, n: int, banks: dict[str, Bank]) -> Labelled:
        """Engine clips played slower or faster, a third of them in other surroundings, all through another phone."""
        draw = Draw(count, self.device)
        which = draw.integer(0, len(self.columns["wave"]))[:, 0]
        rate, begin = draw.log_uniform(0.7, 1.4), draw.uniform(-0.1, 0.3)
        at = torch.arange(n, device=self.device)[None] * rate + begin * CLIP
        wave = unit(sampled(self.columns["wave"][which].float(), at))
        there = placed(draw, wave, torch.zeros(count, dtype=torch.bool), banks)
        wave = torch.where(draw.chance(0.35), there, wave)
        wave = recorded(draw, wave + draw.noise(n, draw.uniform(0, 2.5)) * draw.decibels(-45, -5))
        frames = n * 1000 // RATE_HZ
        frame = (torch.arange(frames, device=self.device)[None] + 0.5) * rate + begin * CLIP * 1000 / RATE_HZ
        inside = (frame >= 0) & (frame < self.columns["state"].shape[1])
        index = frame.long().clamp(0, self.columns["state"].shape[1] - 1)
        of = lambda key: self.columns[key][which].gather(1, index)
        engine = torch.where(inside, of("engine"), 0)
        speed = of("speed") * rate
        known = inside & (speed > SPEED_LOW_HZ) & (speed < SPEED_HIGH_HZ)
        return Labelled(
            waves=torch.nan_to_num(wave),
            engine=engine,
            coasting=torch.where(inside, of("coasting"), -1),
            speed_hz=torch.where(known, speed, 0),
            state=torch.where(known, of("state"), 0),
        )

    def draw_others(self, count: int, n: int) -> torch.Tensor:
        """Clips without an engine, through another phone."""
        draw = Draw(count, self.device)
        which = draw.integer(0, len(self.others))[:, 0]
        at = (torch.arange(n, device=self.device)[None] * draw.log_uniform(0.75, 1.33) + draw.uniform(0, CLIP)) % (CLIP - 1)
        wave = unit(sampled(self.others[which].float(), at))
        return torch.nan_to_num(recorded(draw, wave + draw.noise(n, draw.uniform(0, 2.5)) * draw.decibels(-45, -8)))


if __name__ == "__main__":
    np.savez_compressed(sys.argv[2], **read(Path(sys.argv[1])))
