"""Trains the network that goes from turn to turn, on simulated clips that the first network hears as they are made.

    python3 train_turns.py OUT.pt --ear EAR.pt --minutes 5 --sounds sounds.npz [--init BEGIN.pt]

No recording trains it. Writes the running mean of the weights, and what they were trained on beside them (OUT.json).
"""
import argparse
import copy
import json
import math
import time
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import torch
from torch.nn import functional as F

import kinds
import normalise
import turns
from ahead import Ahead
from descent import set_rate
from losses import COSINE, FIRED, PARTIAL_HIGH, PARTIAL_LOW, SINE
from net import BINS_PER_OCTAVE, RATE_HZ, SPEED_FRAMES, SPEED_LOW_HZ, UNIT, Ear, inputs
from series import hann
from simulate import Clips, clips
from simulate.draw import sampled
from train import digest, follow, load_banks, settings_of

SAMPLES = 192 * UNIT
"""Samples of a training clip, 12.3 s: blocks of turns as long as in use, except at idle."""
SECONDS = SAMPLES / RATE_HZ
RISING = 50
"""Steps in which the rate rises."""
SHORTEST_S, LONGEST_S = 0.002, 0.08
"""Turns that count."""
SPEED_TURNS = 4
"""Turns on either side over which the speed that is read follows that of the crank."""
PHASE_TURNS, FINE_PHASE_TURNS, PHASE_PARTS = 6, 20, 16
"""Turns on either side over which the phase is averaged, first and then; parts of a turn for it."""
FAR_STRAYED, MOST_STRAYED = 0.35, 0.35
"""Share of the clips that are cut anywhere, and by how much of a turn at the most. Chosen."""


def arguments() -> argparse.Namespace:
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("out")
    parse.add_argument("--ear", required=True, help="weights of the first network")
    parse.add_argument("--minutes", type=float, default=5)
    parse.add_argument("--steps", type=int, default=10**9, help="stop after so many steps")
    parse.add_argument("--batch", type=int, default=64, help="clips a step")
    parse.add_argument("--rate", type=float, default=3e-3, help="highest learning rate")
    parse.add_argument("--seed", type=int, default=1)
    parse.add_argument("--init", help="weights to begin with")
    parse.add_argument("--sounds", help="bank of other sounds, made by sounds.py")
    parse.add_argument("--makers", type=int, default=0, help="processes that make batches ahead")
    parse.add_argument("--through", choices=("card", "memory"), default="card", help="how makers hand batches over")
    return parse.parse_args()


@dataclass(frozen=True)
class Run:
    """The whole turns of every clip as they are cut, [clips, turns]; `there` is 0 in the places that fill up."""

    begin_s: torch.Tensor
    length_s: torch.Tensor
    there: torch.Tensor
    burn: torch.Tensor
    dead: torch.Tensor
    """Nothing is meant to fire."""
    late_s: torch.Tensor
    """By how much clips are cut late, seconds, negative where they are cut early, [clips, 1]."""


def hann_mean(x: torch.Tensor, there: torch.Tensor, reach: int) -> torch.Tensor:
    """Mean of x [clips, turns] over the turns that exist within reach, by a Hann window."""
    over = lambda y: F.conv1d(y[:, None], hann(reach, y), padding=reach)[:, 0]
    return over(x * there) / over(there).clamp_min(1e-6)


def cut(made: Clips, out: torch.Tensor) -> Run:
    """The turns as they are read from a recording: by a speed that follows slowly and by the phase that the first network gives."""
    t = made.turns
    whole = t.sounds & (t.at_s >= 0) & (t.at_s + t.length_s < SECONDS - 0.004)
    whole &= (t.length_s > SHORTEST_S) & (t.length_s < LONGEST_S)
    count = whole.sum(1)
    place = torch.arange(max(1, int(count.max())), device=whole.device)[None]
    there = (place < count[:, None]).float()
    index = (whole.int().argmax(1, keepdim=True) + place).clamp_max(whole.shape[1] - 1)
    at, length, burn, dead = (x.gather(1, index) for x in (t.at_s, t.length_s, t.burn, t.dead))
    follows = hann_mean(length, there, SPEED_TURNS)
    begin = at - (length - follows).cumsum(1) + length - follows
    begin = begin + ((at - begin) * there).sum(1, keepdim=True) / there.sum(1, keepdim=True).clamp_min(1)
    begin = begin - follows * ahead(out, begin, follows, there)
    stray = strayed(begin)
    begin = begin + follows * stray
    lasts = torch.cat([begin.diff(dim=1), follows[:, -1:]], 1)
    steady = (lasts / length - 1).abs() < 0.3
    begin, lasts = turns.aligned(inputs(made.waves)[:, 0], begin, torch.where(steady, lasts, length), there)
    late = stray * (follows * there).sum(1, keepdim=True) / there.sum(1, keepdim=True).clamp_min(1)
    return Run(begin.float(), lasts.float(), there, burn, dead.float(), late)


def strayed(begin: torch.Tensor) -> torch.Tensor:
    """By how much of a turn clips are cut late, [clips, 1]: half of them by up to MOST_STRAYED either way, since the first network errs
    more on sound that it never met than on what is simulated here."""
    normal, even, far = (draw(len(begin), 1, device=begin.device) for draw in (torch.randn, torch.rand, torch.rand))
    return torch.where(far < FAR_STRAYED, MOST_STRAYED * (2 * even - 1), 0.01 * normal)


def ahead(out: torch.Tensor, begin: torch.Tensor, length: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
    """By how much of a turn the first network's phase is ahead of turns that begin as given, averaged as packages/core/src/crank does."""
    turned = turns.parts_of(out[:, COSINE], begin, length, PHASE_PARTS, 1000), turns.parts_of(out[:, SINE], begin, length, PHASE_PARTS, 1000)
    angle = 2 * math.pi * (torch.arange(PHASE_PARTS, device=out.device) + 0.5) / PHASE_PARTS
    phasor = (torch.complex(*turned) * torch.exp(-1j * angle)).mean(2)
    smoothed = lambda z, reach: torch.complex(hann_mean(z.real, there, reach), hann_mean(z.imag, there, reach))
    coarse = smoothed(phasor, PHASE_TURNS).angle()
    fine = smoothed(phasor * torch.exp(-1j * coarse), FINE_PHASE_TURNS).angle()
    return (coarse + fine) / (2 * math.pi)


def loss_of(logits: torch.Tensor, run: Run, speed_right: torch.Tensor) -> torch.Tensor:
    """Cross entropy of the turns; those whose speed the first network misses count a fifth."""
    wanted = ((run.burn - PARTIAL_LOW) / (PARTIAL_HIGH - PARTIAL_LOW)).clamp(0, 1)
    weight = run.there * (1 - run.dead) * (0.2 + 0.8 * speed_right)
    return (F.binary_cross_entropy_with_logits(logits, wanted, reduction="none") * weight).sum() / weight.sum().clamp_min(1)


@dataclass(frozen=True)
class Batch:
    rows: torch.Tensor
    """Features [clips, turns, FEATURES], told nothing yet."""
    found: kinds.Blocks
    run: Run
    speed_right: torch.Tensor
    """1 where the first network tells the speed, [clips, turns]."""


class Batches:
    """Simulated clips as the first network hears them."""

    def __init__(self, a: argparse.Namespace, device: str):
        self.a = a
        self.device = device
        self.ear = Ear().to(device).eval()
        self.ear.load_state_dict(torch.load(a.ear, map_location=device))
        self.banks = load_banks(a.sounds, device)

    @torch.no_grad()
    def __call__(self) -> Batch:
        made = clips(self.a.batch, SAMPLES, self.device, self.banks, engines=1.0)
        with torch.autocast(torch.device(self.device).type, torch.bfloat16, enabled=self.device != "cpu"):
            speeds, out = self.ear(made.waves)
        run = cut(made, out)
        normal = lambda: torch.randn(len(out), 1, device=out.device)
        fired = out[:, FIRED] * torch.exp(0.2 * normal()) + 0.3 * normal()
        # Where the first network puts the phase wrongly, it puts the firing wrongly by as much.
        frames = torch.arange(fired.shape[1], device=out.device)
        fired = sampled(fired, (frames - 1000 * run.late_s).clamp(0, fired.shape[1] - 1.001))
        told = turns.features(made.waves, fired, run.begin_s, run.length_s, run.there)
        rows, sketches, loud = map(torch.nan_to_num, told)
        hz = SPEED_LOW_HZ * 2 ** (speeds.argmax(1).float() / BINS_PER_OCTAVE)
        middle = ((run.begin_s + run.length_s / 2) * 1000 / SPEED_FRAMES).long().clamp(0, hz.shape[1] - 1)
        right = (hz.gather(1, middle) * run.length_s - 1).abs() < 0.06
        return Batch(rows, turns.found_in(rows, sketches, loud, run.there), run, right.float())


class Training:
    """The network and its running mean."""

    def __init__(self, a: argparse.Namespace):
        self.a = a
        self.device = "cuda:0" if torch.cuda.is_available() else "cpu"
        torch.manual_seed(a.seed)
        self.batch = Ahead(partial(Batches, a, self.device), self.device, a.makers, 1000 * a.seed + 1, a.through)
        self.reader = turns.TurnReader().to(self.device)
        if a.init:
            self.reader.load_state_dict(torch.load(a.init, map_location=self.device))
            normalise.measured(self.reader, self.hear_some, {self.reader.norm: self.reader.enter})
        self.mean = copy.deepcopy(self.reader).eval()
        self.optimiser = torch.optim.AdamW(self.reader.parameters(), a.rate, betas=(0.9, 0.98), weight_decay=0.02)

    def hear_some(self) -> None:
        for _ in range(4):
            batch = self.batch()
            turns.readings(self.reader, batch.rows, batch.found)

    def step(self) -> torch.Tensor:
        """Every reading counts alike; gives the loss of the last."""
        batch = self.batch()
        terms = [loss_of(logits, batch.run, batch.speed_right) for logits in turns.readings(self.reader, batch.rows, batch.found)]
        loss = sum(terms) / len(terms)
        self.optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(self.reader.parameters(), 2.0)
        self.optimiser.step()
        return terms[-1]

    def run(self) -> int:
        began, step, lately = time.time(), 0, 0.0
        while step < self.a.steps and time.time() - began < 60 * self.a.minutes:
            set_rate(self.optimiser, self.a, began, step, RISING)
            loss = self.step().detach()
            follow(self.mean, self.reader, step, 0.99)
            lately = 0.98 * lately + 0.02 * loss
            step += 1
            if step % 100 == 0:
                print(f"{step} {time.time() - began:.0f} s, {lately / (1 - 0.98**step):.4f} nats", flush=True)
                self.save(step)
        self.save(step)
        return step

    def save(self, steps: int) -> None:
        torch.save(self.mean.state_dict(), self.a.out)
        files = {key: digest(Path(f)) for key in ("ear", "init", "sounds") if (f := getattr(self.a, key))}
        card = {"steps": steps, "settings": settings_of(self.a), "files": files}
        Path(self.a.out).with_suffix(".json").write_text(json.dumps(card, indent=1) + "\n")


if __name__ == "__main__":
    print("steps", Training(arguments()).run())
