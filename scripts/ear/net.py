"""The ear's network: sound in, chances of crank speed and the state of every millisecond out.

A convolutional network in the shape of a U. Sound at 16 kHz is levelled and passes a learned bank of filters; what follows
works on 1 ms, 4 ms, 16 ms and 64 ms, with a recurrent layer on the coarsest level, so that seconds of sound settle the
octave, and comes back down to 1 ms by way of what was kept of every level. Sizes are chosen for a phone: 0.87 million
weights, 5 billion multiply-adds a minute of sound.
"""
import math

import torch
from torch import nn
from torch.nn import functional as F

RATE_HZ = 16000
"""Sampling rate of the ear."""
FRAME_RATE_HZ = 1000
"""Frames a second of the fine outputs; the speed comes once in SPEED_FRAMES of them."""
SPEED_FRAMES = 16
UNIT = 1024
"""Samples of one frame of the coarsest level: sound is padded to a multiple of this."""

SPEED_LOW_HZ, SPEED_HIGH_HZ, BINS_PER_OCTAVE = 15.0, 260.0, 48
SPEED_BINS = math.ceil(math.log2(SPEED_HIGH_HZ / SPEED_LOW_HZ) * BINS_PER_OCTAVE)
"""Crank speeds told apart; one more output stands for "no engine"."""

OUTPUTS = ("cosine", "sine", "fired", "engine", "coasting")
"""Fine outputs: phase of the crank (0 where the exhaust pulse arrives) and three log-odds."""

PREEMPHASIS = 0.9
LEVEL_STEP = 128
"""Samples over which energy is summed before it is smoothed: 8 ms."""
LEVEL_SPANS = (50, 15)
"""Steps over which the plain and the pre-emphasised sound are levelled: 0.4 s and 0.12 s."""
LEVEL_FLOOR = 1e-9
"""Mean square below which sound is not raised: -90 dB re full scale."""

SPAN, STEP = 80, 40
"""Frames of 64 ms that the recurrent layer hears at a time once trained, and from one span to the next: 5.1 and 2.6 s.

It learns on clips of six seconds, and left alone with minutes of sound it falls into states that it never met. So it hears
longer sound in spans, whose answers are faded over; then what it says hangs on what is near alone.
"""

SIGNED, ENERGIES = 16, 24
"""Outputs of the filter bank: as waveforms, and as energies of pairs of filters."""


def level(x: torch.Tensor, span: int) -> torch.Tensor:
    """Divides sound by its own root mean square over `span` steps of 8 ms.

    x: [clips, n], n a multiple of LEVEL_STEP. The mean runs over the steps from k - span // 2 to k + span - span // 2 - 1
    that exist, and lies on a straight line between the middles of the steps (constant beyond the outermost).
    """
    energy = x.square().unflatten(1, (-1, LEVEL_STEP)).mean(2)
    steps = energy.shape[1]
    total = F.pad(energy.double().cumsum(1), (1, 0))
    at = torch.arange(steps, device=x.device)
    first, end = (at - span // 2).clamp_min(0), (at + span - span // 2).clamp_max(steps)
    mean = ((total[:, end] - total[:, first]) / (end - first)).to(x.dtype)
    smooth = F.interpolate(mean[:, None], x.shape[1], mode="linear")[:, 0]
    return x / torch.sqrt(smooth.clamp_min(0) + LEVEL_FLOOR)


def inputs(x: torch.Tensor) -> torch.Tensor:
    """The two channels that the filter bank hears: [clips, n] to [clips, 2, n]."""
    sharp = torch.cat([torch.zeros_like(x[:, :1]), x[:, 1:] - PREEMPHASIS * x[:, :-1]], 1)
    return torch.stack([level(x, LEVEL_SPANS[0]), level(sharp, LEVEL_SPANS[1])], 1)


def compress(h: torch.Tensor) -> torch.Tensor:
    """Outputs of the filter bank: waveforms less their loudest peaks, and logarithms of energies."""
    wave, first, second = h.split((SIGNED, ENERGIES, ENERGIES), 1)
    energy = torch.log(0.01 + first.square() + second.square())
    return torch.cat([wave / torch.sqrt(1 + wave.abs()), energy], 1)


class Block(nn.Module):
    """What one channel does over time, then what the channels do together, added to what came in."""

    def __init__(self, channels: int, dilation: int = 1, taps: int = 9, widen: int = 2):
        super().__init__()
        pad = dilation * (taps // 2)
        self.depth = nn.Conv1d(channels, channels, taps, padding=pad, dilation=dilation, groups=channels, bias=False)
        self.norm = nn.BatchNorm1d(channels)
        self.wide = nn.Conv1d(channels, channels * widen, 1)
        self.narrow = nn.Conv1d(channels * widen, channels, 1)

    def forward(self, x: torch.Tensor) -> torch.Tensor:
        return x + self.narrow(F.hardswish(self.wide(self.norm(self.depth(x)))))


class Ear(nn.Module):
    """Sound [clips, n], n a multiple of UNIT, to speeds [clips, SPEED_BINS + 1, n / 256] and fine outputs [clips, 5, n / 16].

    Speeds are logits for a softmax; the last one stands for no engine.
    """

    def __init__(self, fine: int = 32, turn: int = 64, beat: int = 112, long: int = 128):
        super().__init__()
        self.bank = nn.Conv1d(2, SIGNED + 2 * ENERGIES, 32, stride=8, padding=12)
        self.mix = nn.Conv1d(SIGNED + ENERGIES, fine, 4, stride=2, padding=1)
        self.fine_in = nn.Sequential(Block(fine), Block(fine))
        self.to_turn = nn.Conv1d(fine, turn, 4, stride=4)
        self.turn_in = nn.Sequential(Block(turn), Block(turn), Block(turn, dilation=2))
        self.to_beat = nn.Conv1d(turn, beat, 4, stride=4)
        self.beat_in = nn.Sequential(Block(beat), Block(beat), Block(beat, dilation=2))
        self.to_long = nn.Conv1d(beat, long, 4, stride=4)
        self.long_in = nn.Sequential(Block(long), Block(long, dilation=2))
        self.memory = nn.GRU(long, long // 2, batch_first=True, bidirectional=True)
        self.long_out = nn.Sequential(Block(long))
        self.from_long = nn.Conv1d(long, beat, 1)
        self.beat_out = nn.Sequential(Block(beat), Block(beat))
        self.speed = nn.Conv1d(beat, SPEED_BINS + 1, 1)
        self.from_beat = nn.Conv1d(beat, turn, 1)
        self.turn_out = nn.Sequential(Block(turn), Block(turn))
        self.from_turn = nn.Conv1d(turn, fine, 1)
        self.fine_out = nn.Sequential(Block(fine), Block(fine))
        self.out = nn.Conv1d(fine, len(OUTPUTS), 1)

    def forward(self, x: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        bank = compress(self.bank(inputs(x)).float())
        fine = self.fine_in(self.mix(bank))
        turn = self.turn_in(self.to_turn(fine))
        beat = self.beat_in(self.to_beat(turn))
        long = self.long_in(self.to_long(beat))
        long = self.long_out(long + self.remember(long))
        beat = self.beat_out(beat + hold(self.from_long(long)))
        turn = self.turn_out(turn + hold(self.from_beat(beat)))
        fine = self.fine_out(fine + hold(self.from_turn(turn)))
        return self.speed(beat).float(), self.out(fine).float()

    def remember(self, long: torch.Tensor) -> torch.Tensor:
        """What the recurrent layer says of [clips, channels, frames]: in training in one go, else in spans faded over."""
        hear = lambda x: self.memory(x.transpose(1, 2))[0].transpose(1, 2)
        frames = long.shape[2]
        if self.training or frames <= SPAN:
            return hear(long)
        total, weights = torch.zeros_like(long), torch.zeros(frames, device=long.device)
        for first in range(0, frames - SPAN + STEP, STEP):
            part = long[:, :, first : first + SPAN]
            place = torch.arange(part.shape[2], device=long.device)
            weight = torch.minimum(place + 1, SPAN - place).float()
            total[:, :, first : first + SPAN] += weight * hear(part)
            weights[first : first + SPAN] += weight
        return total / weights


def hold(x: torch.Tensor) -> torch.Tensor:
    """Every value four times: from one level to the next finer one."""
    return x.repeat_interleave(4, 2)
