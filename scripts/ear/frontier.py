"""Frontier of the first network: what a smaller or larger one hears, and by how many multiply-adds.

    python3 frontier.py OUT.json --teacher EAR.pt --widths 24 48 80 96 --minutes 8 --sounds sounds.npz
    python3 frontier.py OUT.json --teacher EAR.pt --keep 0.5 --minutes 8 --sounds sounds.npz

Trains a network from nothing, of these widths (fine, turn, beat, long), or the trained one with a share of its hidden units
(thin.py), on simulated clips, by their truth and by what the trained one says of them, as much each. Then it is measured on
clips of a seed that trains nothing. With neither the trained one is measured. Writes weights beside OUT.json (OUT.pt).
"""
import argparse
import copy
import json
import time
from functools import partial
from pathlib import Path

import torch
from torch.nn import functional as F

import losses
import normalise
from ahead import Ahead
from descent import descend, optimiser_of, set_rate
from export import load
from net import BINS_PER_OCTAVE, RATE_HZ, SPEED_BINS, SPEED_FRAMES, SPEED_LOW_HZ, UNIT, Ear
from thin import thin
from train import RISING, Batches, follow

HELD_OUT_SEED, HELD_OUT_BATCHES, HEARD_BATCHES = 9, 12, 4
"""Training draws from 1,000 · seed on, calibration from 11 and 12; batches by which hidden units are chosen."""
SPEED_WITHIN = 0.03
CLEAR = 0.2
"""A turn counts where its burnt share is this far from a half."""


def arguments() -> argparse.Namespace:
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("out", type=Path)
    parse.add_argument("--teacher", required=True)
    parse.add_argument("--widths", type=int, nargs=4)
    parse.add_argument("--keep", type=float, help="share of the hidden units of every block")
    parse.add_argument("--clips", type=int, default=64, help="of a batch by which it is measured or thinned")
    parse.add_argument("--minutes", type=float, default=20)
    parse.add_argument("--steps", type=int, default=10**9)
    parse.add_argument("--batch", type=int, default=256)
    parse.add_argument("--rate", type=float, default=3e-3)
    parse.add_argument("--seed", type=int, default=300)
    parse.add_argument("--sounds")
    parse.add_argument("--makers", type=int, default=0)
    parse.add_argument("--through", choices=("card", "memory"), default="card")
    parse.set_defaults(recordings=None, without_fold=None)
    return parse.parse_args()


def taught(speeds: torch.Tensor, out: torch.Tensor, said: tuple[torch.Tensor, torch.Tensor], truth: losses.Truth) -> torch.Tensor:
    """How far a network is from what the teacher says: of speed and firing where an engine runs, of engine everywhere."""
    speeds_said, out_said = said
    engine = truth.engine.float()
    speed = -(speeds_said.softmax(1) * F.log_softmax(speeds, 1)).sum(1).mean()
    odds = lambda which: F.binary_cross_entropy_with_logits(out[:, which], torch.sigmoid(out_said[:, which]), reduction="none")
    phase = (out[:, losses.COSINE] - out_said[:, losses.COSINE]) ** 2 + (out[:, losses.SINE] - out_said[:, losses.SINE]) ** 2
    return speed + losses.mean_over(phase, engine) + 2 * losses.mean_over(odds(losses.FIRED), engine) + 0.5 * odds(losses.ENGINE).mean()


def begun(a: argparse.Namespace, teacher: Ear, device: str) -> Ear:
    """The network to train, as it is before."""
    torch.manual_seed(a.seed)
    if a.widths:
        return Ear(*a.widths).to(device)
    batches = Batches(argparse.Namespace(**{**vars(a), "batch": a.clips}), device)
    some = [batches()[0] for _ in range(HEARD_BATCHES)]
    ear = thin(teacher, a.keep, some)
    normalise.measured(ear, lambda: [ear(waves) for waves in some], {})
    return ear.train()


def train(a: argparse.Namespace, teacher: Ear, device: str) -> tuple[Ear, int]:
    ear = begun(a, teacher, device)
    mean = copy.deepcopy(ear).eval()
    batches = Ahead(partial(Batches, a, device), device, a.makers, 1000 * a.seed + 1, a.through)
    optimiser = optimiser_of(ear, a.rate)
    fast = device != "cpu"
    began, step = time.time(), 0
    while step < a.steps and time.time() - began < 60 * a.minutes:
        set_rate(optimiser, a, began, step, RISING)
        waves, truth, _ = batches()
        with torch.autocast(torch.device(device).type, torch.bfloat16, enabled=fast):
            with torch.no_grad():
                said = teacher(waves)
            speeds, out = ear(waves)
        loss = sum(losses.simulated_loss(speeds, out, truth).values()) + taught(speeds, out, said, truth)
        descend(optimiser, ear, loss)
        follow(mean, ear, step, 0.998)
        step += 1
        if step % 100 == 0:
            print(f"{step} {time.time() - began:.0f} s, {loss.item():.3f}", flush=True)
            torch.save(mean.state_dict(), a.out.with_suffix(".pt"))
    torch.save(mean.state_dict(), a.out.with_suffix(".pt"))
    return mean, step


@torch.no_grad()
def measured(ear: Ear, a: argparse.Namespace, device: str) -> dict[str, float]:
    """Shares of what is right, time with an engine; nats a clear turn's millisecond."""
    torch.manual_seed(HELD_OUT_SEED)
    batches = Batches(argparse.Namespace(**{**vars(a), "batch": a.clips}), device)
    sums = torch.zeros(4, 2, dtype=torch.float64)
    for _ in range(HELD_OUT_BATCHES):
        waves, truth, _ = batches()
        speeds, out = ear(waves)
        best = speeds.argmax(1)
        middle = torch.arange(best.shape[1], device=device) * SPEED_FRAMES + SPEED_FRAMES // 2
        hz = SPEED_LOW_HZ * 2 ** (best.float() / BINS_PER_OCTAVE)
        there = truth.engine[:, middle]
        speed = ((hz / truth.speed_hz[:, middle] - 1).abs() < SPEED_WITHIN) & (best < SPEED_BINS)
        clear = truth.engine & ~truth.dead & ((truth.burn - 0.5).abs() > CLEAR)
        burnt = truth.burn > 0.5
        fired = (out[:, losses.FIRED] > 0) == burnt
        nats = F.binary_cross_entropy_with_logits(out[:, losses.FIRED], burnt.float(), reduction="none")
        engine = (out[:, losses.ENGINE] > 0) == truth.engine
        for row, (what, where) in enumerate(((speed, there), (fired, clear), (nats, clear), (engine, torch.ones_like(engine)))):
            sums[row, 0] += what[where].double().sum().cpu()
            sums[row, 1] += where.sum().cpu()
    return dict(zip(("speedRight", "firedRight", "firedNats", "engineRight"), (sums[:, 0] / sums[:, 1]).tolist()))


def multiply_adds(ear: Ear) -> int:
    """In a second of sound, counted in the layers."""
    total, seconds = 0, 10
    samples = seconds * RATE_HZ // UNIT * UNIT

    def count(layer: torch.nn.Module, _: tuple, out: torch.Tensor | tuple) -> None:
        nonlocal total
        frames = (out[0] if isinstance(out, tuple) else out).shape
        of_frame = sum(p.numel() for name, p in layer.named_parameters() if "weight" in name)
        total += of_frame * (frames[1] if isinstance(layer, torch.nn.GRU) else frames[2])

    handles = [m.register_forward_hook(count) for m in ear.modules() if isinstance(m, (torch.nn.Conv1d, torch.nn.GRU))]
    with torch.no_grad():
        # In one go, so that no frame of the recurrent layer counts twice.
        ear.train()(torch.randn(1, samples, device=next(ear.parameters()).device))
    ear.eval()
    for handle in handles:
        handle.remove()
    return round(total * RATE_HZ / samples)


def main() -> None:
    a = arguments()
    device = "cuda:0" if torch.cuda.is_available() else "cpu"
    teacher = load(Path(a.teacher)).to(device)
    ear, steps = train(a, teacher, device) if a.widths or a.keep else (teacher, 0)
    a.out.write_text(json.dumps({
        "widths": a.widths, "keep": a.keep, "steps": steps, "weights": sum(p.numel() for p in ear.parameters()),
        **measured(ear, a, device), "multiplyAdds": multiply_adds(copy.deepcopy(ear)),
    }) + "\n")


if __name__ == "__main__":
    main()
