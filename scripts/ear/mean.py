"""Mean of the weights of networks that were trained on from the same weights: often better than each of them (Wortsman and others,
Model soups, ICML 2022, from memory).

    python3 scripts/ear/mean.py OUT.pt A.pt B.pt …

What each was trained on, where it stands beside it (A.json), and the hash of each go into OUT.json.
"""
import argparse
import json
from pathlib import Path

import torch

from train import digest


def mean(states: list[dict[str, torch.Tensor]]) -> dict[str, torch.Tensor]:
    """Means of what is no whole number; the rest, counts of batches, is that of the last."""
    return {
        key: torch.stack([state[key] for state in states]).mean(0) if last.dtype.is_floating_point else last
        for key, last in states[-1].items()
    }


def card_of(file: Path) -> dict:
    beside = file.with_suffix(".json")
    return {"hash": digest(file)} | (json.loads(beside.read_text()) if beside.exists() else {})


def main() -> None:
    parse = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parse.add_argument("out", type=Path)
    parse.add_argument("files", type=Path, nargs="+")
    a = parse.parse_args()
    torch.save(mean([torch.load(file, map_location="cpu") for file in a.files]), a.out)
    a.out.with_suffix(".json").write_text(json.dumps({"mean_of": [card_of(file) for file in a.files]}, indent=1) + "\n")


if __name__ == "__main__":
    main()
