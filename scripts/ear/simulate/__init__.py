"""Recordings of small two-strokes, and of everything else, made in batches on the device that trains.

`clips` draws a batch: waves and the truth of every millisecond. Every number of a clip is drawn anew; ranges are chosen wide
rather than likely, since what the ear has met it hears through. Only the ear is trained on these clips; the simulators that
judge it are others and share no code with this one.
"""
from .change import Change, changes
from .clip import Clips, clips

__all__ = ["Change", "Clips", "changes", "clips"]
