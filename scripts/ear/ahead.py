"""Batches made ahead by processes of their own: a batch is thousands of small steps, in which one process leaves a card idle."""
import dataclasses
from collections.abc import Callable
from typing import Generic, TypeVar

import torch
from torch import multiprocessing

T = TypeVar("T")
PATIENCE_S = 300
"""How long a batch may take before a maker is taken for dead, seconds."""


class Ahead(Generic[T]):
    """Gives one batch after the other, of tensors in tuples and dataclasses.

    build: gives what makes batches on a device; runs in every maker, so it must be a function of a module or a partial of one
    makers: how many processes; with none, batches are made here when they are asked for
    seed: the makers draw by `seed` and the numbers after it; the order in which their batches come is left to chance
    through: "card" hands tensors over on the card; "memory" by way of the machine's memory, where cards do not share theirs
    """

    def __init__(self, build: Callable[[], Callable[[], T]], device: str, makers: int, seed: int, through: str = "card"):
        self.device = device
        self.here = build() if makers == 0 else None
        if makers == 0:
            return
        context = multiprocessing.get_context("spawn")
        self.made = context.Queue(makers)
        self.processes = [context.Process(target=make, args=(build, device, seed + k, through, self.made), daemon=True) for k in range(makers)]
        for process in self.processes:
            process.start()

    def __call__(self) -> T:
        return self.here() if self.here else moved(self.made.get(timeout=PATIENCE_S), self.device)


def make(build: Callable[[], Callable[[], T]], device: str, seed: int, through: str, made: multiprocessing.Queue) -> None:
    """Fills the queue for ever."""
    torch.manual_seed(seed)
    if device != "cpu":
        torch.cuda.set_device(device)
    batch = build()
    while True:
        made.put(moved(batch(), "cpu" if through == "memory" else device))


def moved(value: T, device: str) -> T:
    """The same on another device."""
    if isinstance(value, torch.Tensor):
        return value.to(device)
    if isinstance(value, tuple):
        return tuple(moved(part, device) for part in value)
    if dataclasses.is_dataclass(value):
        return dataclasses.replace(value, **{f.name: moved(getattr(value, f.name), device) for f in dataclasses.fields(value)})
    return value
