"""A minute on a processor: does everything that trains the ear still run, and does it learn?

    python3 smoke.py

Needs python3-torch alone: no recordings, no bank of sounds. Ends with an error when a step breaks or the loss does not fall.
"""
import sys
import tempfile
from pathlib import Path

import torch

import export
import frontier
import likeness
import losses
import mean
import simulate
import train
import train_turns
import unpack


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "smoke.pt"
        sys.argv = ["train.py", str(out), "--batch", "4", "--rate", "3e-3"]
        training = train.Training(train.arguments())
        torch.manual_seed(5)
        waves, truth, _ = training.batch()
        first = last = 0.0
        for step in range(25):
            speeds, heard = training.model(waves)
            loss = sum(losses.simulated_loss(speeds, heard, truth).values())
            training.optimiser.zero_grad()
            loss.backward()
            training.optimiser.step()
            train.follow(training.mean, training.ear, step, 0.998)
            first, last = (loss.item(), loss.item()) if step == 0 else (first, loss.item())
        training.save(25)
        if not last < 0.8 * first:
            sys.exit(f"the loss went from {first:.2f} to {last:.2f} in 25 steps on one batch: it should fall by a fifth")
        if not out.exists() or not out.with_suffix(".json").exists():
            sys.exit("no weights were written")
        print(f"loss on one batch: {first:.2f} to {last:.2f}")
        reader = Path(folder) / "turns.pt"
        sys.argv = ["train_turns.py", str(reader), "--ear", str(out), "--batch", "4", "--steps", "5"]
        train_turns.Training(train_turns.arguments()).run()
        packed, again = Path(folder) / "smoke.bin", Path(folder) / "again.bin"
        sys.argv = ["export.py", str(out), str(reader), "--bin", str(packed)]
        export.main()
        sys.argv = ["unpack.py", str(packed), str(out), str(reader)]
        unpack.main()
        sys.argv = ["export.py", str(out), str(reader), "--bin", str(again)]
        export.main()
        if packed.read_bytes() != again.read_bytes():
            sys.exit("weights that were unpacked are others when packed again")
        sys.argv = ["train_turns.py", str(reader), "--ear", str(out), "--init", str(reader), "--batch", "4", "--steps", "2", "--makers", "1"]
        train_turns.Training(train_turns.arguments()).run()
        sys.argv = ["mean.py", str(reader), str(reader), str(reader)]
        mean.main()
        thinner = Path(folder) / "thinner.json"
        sys.argv = ["frontier.py", str(thinner), "--teacher", str(out), "--keep", "0.5", "--steps", "1", "--batch", "2", "--clips", "2"]
        frontier.main()
    if not simulate.changes(2, 4, 2, {}).waves.isfinite().all():
        sys.exit("clips before and after a change are not finite")
    if not likeness.of_simulator(16, 5, None):
        sys.exit("likeness.py found no turns to compare")


if __name__ == "__main__":
    main()
