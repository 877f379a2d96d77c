"""Trains the ear for a number of minutes.

    python3 train.py OUT.pt --minutes 9 --sounds sounds.npz                       simulation alone
    python3 train.py OUT.pt --minutes 4 --init BASE.pt --recordings recordings.npz [--without-fold 0]
    python3 -m torch.distributed.run --nproc_per_node 4 train.py …                several cards

Writes the running mean of the weights, and what they were trained on beside them (OUT.json).
"""
import argparse
import copy
import hashlib
import json
import os
import time
from functools import partial
from pathlib import Path

import numpy as np
import torch
from torch import distributed

import losses
import normalise
from ahead import Ahead
from descent import descend, optimiser_of, set_rate
from net import RATE_HZ, SPEED_BINS, SPEED_FRAMES, SPEED_LOW_HZ, BINS_PER_OCTAVE, UNIT, Ear
from recordings import Recordings
from simulate import clips
from simulate.others import Bank

SAMPLES = 96 * UNIT
"""Samples of a training clip: 6.1 s."""
RISING = 200
"""Steps in which the rate rises."""
FOLDS = Path(__file__).parents[2] / "packages/core/bench/accuracy/folds.json"


def arguments() -> argparse.Namespace:
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("out")
    parse.add_argument("--minutes", type=float, default=9)
    parse.add_argument("--steps", type=int, default=10**9, help="stop after so many steps")
    parse.add_argument("--batch", type=int, default=256, help="simulated clips a step and card")
    parse.add_argument("--rate", type=float, default=2e-3, help="highest learning rate")
    parse.add_argument("--seed", type=int, default=1)
    parse.add_argument("--init", help="weights to begin with")
    parse.add_argument("--sounds", help="bank of other sounds, made by sounds.py")
    parse.add_argument("--recordings", help="labelled recordings, made by recordings.py")
    parse.add_argument("--recorded", type=float, default=1 / 8, help="clips of recorded engines to a simulated one")
    parse.add_argument("--without-fold", type=int, help="leave out the recordings of this fold")
    parse.add_argument("--makers", type=int, default=0, help="processes that make batches ahead")
    parse.add_argument("--through", choices=("card", "memory"), default="card", help="how makers hand batches over")
    return parse.parse_args()


class Batches:
    """Sound of simulated clips, then of recordings of engines, then of others, and what is known of it."""

    def __init__(self, a: argparse.Namespace, device: str):
        self.a = a
        self.device = device
        self.banks = load_banks(a.sounds, device)
        self.recordings = load_recordings(a, device)

    @torch.no_grad()
    def __call__(self) -> tuple[torch.Tensor, losses.Truth, losses.Labelled | None]:
        made = clips(self.a.batch, SAMPLES, self.device, self.banks)
        if not self.recordings:
            return made.waves, made.truth, None
        count = max(4, int(self.a.batch * self.a.recorded))
        labels = self.recordings.draw(count, SAMPLES, self.banks)
        others = self.recordings.draw_others(max(2, count // 2), SAMPLES)
        return torch.cat([made.waves, labels.waves, others]), made.truth, labels


def load_recordings(a: argparse.Namespace, device: str) -> Recordings | None:
    if not a.recordings:
        return None
    left_out = set() if a.without_fold is None else set(json.loads(FOLDS.read_text())[str(a.without_fold)])
    return Recordings(a.recordings, left_out, device)


class Training:
    """Weights, their running mean, and where they are trained."""

    def __init__(self, a: argparse.Namespace):
        self.a = a
        self.cards, self.rank = int(os.environ.get("WORLD_SIZE", 1)), int(os.environ.get("RANK", 0))
        self.device = f"cuda:{self.rank}" if torch.cuda.is_available() else "cpu"
        self.fast = self.device != "cpu"
        torch.manual_seed(a.seed)
        self.ear = Ear().to(self.device)
        if a.init:
            self.ear.load_state_dict(torch.load(a.init, map_location=self.device))
        self.model: torch.nn.Module = self.ear
        if self.fast:
            torch.cuda.set_device(self.device)
            torch.backends.cudnn.benchmark = True
            torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
        torch.manual_seed(1000 * a.seed + self.rank)
        self.batch = Ahead(partial(Batches, a, self.device), self.device, a.makers, 1000 * a.seed + 100 * self.rank + 1, a.through)
        if a.init:
            normalise.measured(self.ear, self.hear_some, {})
        if self.cards > 1:
            # Takes the weights of the first card to the others.
            distributed.init_process_group("nccl")
            self.model = torch.nn.parallel.DistributedDataParallel(self.ear, device_ids=[self.rank])
        self.mean = copy.deepcopy(self.ear).eval()
        self.optimiser = optimiser_of(self.ear, a.rate)

    def hear_some(self) -> None:
        for _ in range(4):
            self.ear(self.batch()[0])

    def step(self) -> tuple[dict[str, torch.Tensor], tuple]:
        waves, truth, labels = self.batch()
        with torch.autocast("cuda" if self.fast else "cpu", torch.bfloat16, enabled=self.fast):
            speeds, out = self.model(waves)
        made = truth.engine.shape[0]
        terms = losses.simulated_loss(speeds[:made], out[:made], truth)
        if labels is not None:
            end = made + labels.engine.shape[0]
            terms |= losses.recorded_loss(speeds[made:end], out[made:end], labels)
            terms |= losses.nothing_loss(speeds[end:], out[end:])
        descend(self.optimiser, self.ear, sum(terms.values()))
        return terms, (speeds[:made], out[:made], truth)

    def over(self, began: float) -> bool:
        done = torch.tensor([float(time.time() - began > 60 * self.a.minutes)], device=self.device)
        if self.cards > 1:
            distributed.broadcast(done, 0)
        return done.item() > 0

    def run(self) -> int:
        began, step = time.time(), 0
        while step < self.a.steps and not (step % 10 == 0 and self.over(began)):
            set_rate(self.optimiser, self.a, began, step, RISING)
            terms, made = self.step()
            follow(self.mean, self.ear, step, 0.998)
            step += 1
            if self.rank == 0 and (step % 100 == 0 or step == 5):
                print(f"{step} {time.time() - began:.0f} s", told(terms), right(*made), flush=True)
                if step % 200 == 0:
                    self.save(step)
        if self.rank == 0:
            self.save(step)
        if self.cards > 1:
            distributed.destroy_process_group()
        return step

    def save(self, steps: int) -> None:
        torch.save(self.mean.state_dict(), self.a.out)
        card = {
            "steps": steps,
            "cards": self.cards,
            "settings": settings_of(self.a),
            "torch": torch.__version__,
            "commit": os.environ.get("EAR_COMMIT", "unknown"),
            "sources": {p.name: digest(p) for p in sorted(Path(__file__).parent.rglob("*.py"))},
            "files": {key: digest(Path(f)) for key in ("init", "sounds", "recordings") if (f := getattr(self.a, key))},
            "recordings": recordings.names if (recordings := load_recordings(self.a, "cpu")) else [],
        }
        Path(self.a.out).with_suffix(".json").write_text(json.dumps(card, indent=1) + "\n")


def settings_of(a: argparse.Namespace) -> dict:
    """Options as they go beside the weights: of files the name alone."""
    files = ("out", "init", "ear", "sounds", "recordings")
    return {key: Path(value).name if key in files and value else value for key, value in vars(a).items()}


def load_banks(file: str | None, device: str) -> dict[str, Bank]:
    if not file:
        return {}
    data = np.load(file)
    codes = {"sounds": data["mulaw"][data["negative"]], "speech": data["speech"]}
    return {name: Bank(torch.tensor(rows, device=device)) for name, rows in codes.items()}


@torch.no_grad()
def follow(mean: torch.nn.Module, model: torch.nn.Module, step: int, most: float) -> None:
    """Moves a running mean of weights, the longer the slower; `most` is what it keeps of itself in the end."""
    keep = min(most, (step + 1) / (step + 20))
    for own, now in zip(mean.state_dict().values(), model.state_dict().values()):
        if own.dtype.is_floating_point:
            own.mul_(keep).add_(now, alpha=1 - keep)
        else:
            own.copy_(now)


def digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()[:16]


def told(terms: dict[str, torch.Tensor]) -> str:
    return ", ".join(f"{name} {value.item():.3f}" for name, value in terms.items())


@torch.no_grad()
def right(speeds: torch.Tensor, out: torch.Tensor, truth: losses.Truth) -> str:
    """Shares of what is right in a batch: speed within 3 %, firing, engine or none."""
    best = speeds.argmax(1)
    middle = torch.arange(best.shape[1], device=best.device) * SPEED_FRAMES + SPEED_FRAMES // 2
    hz = SPEED_LOW_HZ * 2 ** (best.float() / BINS_PER_OCTAVE)
    there = truth.engine[:, middle]
    speed = ((hz / truth.speed_hz[:, middle] - 1).abs() < 0.03) & (best < SPEED_BINS)
    clear = truth.engine & ~truth.dead & ((truth.burn - 0.5).abs() > 0.2)
    fired = (out[:, losses.FIRED] > 0) == (truth.burn > 0.5)
    engine = (out[:, losses.ENGINE] > 0) == truth.engine
    share = lambda x: f"{x.float().mean().item():.3f}"
    return f"| right: speed {share(speed[there])}, fired {share(fired[clear])}, engine {share(engine)}"


if __name__ == "__main__":
    settings = arguments()
    print("steps", Training(settings).run(), "of", SAMPLES / RATE_HZ, "s clips")
