"""Sounds that are no small engine, made: each function draws [clips, n] of unit power.

They serve as background to engines, and alone as what must not be taken for one.
"""
import math

import torch

from .draw import RATE, Draw, band, rung, sampled, shaped, spikes, unit
from .pulses import pipe, pulse

TAU = 2 * math.pi


def swell(draw: Draw, n: int) -> torch.Tensor:
    """Comes and goes once, as a passer-by does, or stays."""
    at = torch.arange(n, device=draw.device)[None] / n
    passing = torch.exp(-0.5 * ((at - draw.uniform(0, 1)) / draw.uniform(0.08, 0.5)) ** 2)
    return draw.either(0.4, passing + 0.02, 1.0)


def several_cylinders(draw: Draw, n: int) -> torch.Tensor:
    """Cars, aircraft, generators: pulses of two to eight cylinders in turn, each with a strength and lateness of its own."""
    cylinders = draw.integer(2, 9)
    cycle_hz = draw.log_uniform(4, 60)  # all cylinders once
    count = int(60 * 8 * n / RATE) + 10
    i = torch.arange(count, device=draw.device)[None] % cylinders
    wander = 1 + 0.08 * draw.walk(count, 8)
    even = draw.either(0.5, draw.log_uniform(0.01, 0.05), draw.uniform(0.03, 0.2))
    late = even * draw.normal(8).gather(1, i)
    at = (wander / (cycle_hz * cylinders)).cumsum(1) + late / (cycle_hz * cylinders)
    # Were all cylinders alike, it would be the sound of one that turns faster.
    size = 1 + draw.log_uniform(0.08, 0.4) * draw.normal(8).gather(1, i) + draw.log_uniform(0.01, 0.2) * draw.normal(count)
    # Two banks of cylinders: each has a pulse of its own, and in half of the engines they fire unevenly.
    bank = (i % 2) * draw.either(0.5, 1.0, 0.0)
    at = at + bank * draw.either(0.5, draw.uniform(-0.4, 0.4), 0.0) / (cycle_hz * cylinders)
    x = rung(spikes(at, size * (1 - bank), n), pulse(draw)) + rung(spikes(at, size * bank, n), pulse(draw))
    x = rung(x, pipe(draw))
    # Boxes of air and long pipes leave half of them rounder than any pulse of a small engine.
    x = shaped(x, band(n, draw.uniform(15, 80), draw.either(0.5, draw.log_uniform(60, 600), 9000.0), 2))
    x = unit(shaped(x, band(n, draw.uniform(15, 80), draw.log_uniform(150, 5000), 1)))
    tyres = shaped(draw.normal(n), band(n, draw.log_uniform(100, 600), draw.log_uniform(700, 4000), 1))
    return unit(x + draw.either(0.5, draw.decibels(-15, 8), 0.0) * unit(tyres)) * swell(draw, n)


def orders(draw: Draw, n: int) -> torch.Tensor:
    """Cars, boats, generators, fans, saws by their orders: multiples of a slow turn, of which every few stand out; gears change."""
    every = draw.log_uniform(2, 40).round()
    changes = draw.uniform(0, 1, 4) * n
    pull = draw.either(0.4, draw.log_uniform(0.01, 0.4), 0.0) * draw.sign()
    at = torch.arange(n, device=draw.device)[None].expand(draw.clips, -1)
    since = at - torch.where(at[:, None] >= changes[..., None], changes[..., None], 0.0).amax(1)
    bend = torch.exp(pull * since / RATE + draw.log_uniform(0.001, 0.06) * draw.walk(n, 10))
    slowest_hz = draw.either(0.7, draw.log_uniform(4, 50), draw.log_uniform(20, 300))
    angle = (slowest_hz * bend.clamp(0.4, 2.5)).cumsum(1) / RATE
    falls, between, spread = draw.uniform(0, 1.2), draw.decibels(-20, -3), draw.uniform(0.2, 1)
    x = torch.zeros(draw.clips, n, device=draw.device)
    for k in range(1, 49):
        # Over the multiples that stand out in the second half, so that many cylinders and teeth are heard whole.
        order = torch.where(every * (k - 24) > 48, every * (k - 24), torch.full_like(every, k))
        stands = torch.where(order % every == 0, 1.0, between)
        loud = stands * order**-falls * torch.exp(spread * draw.normal(1)) * (order * slowest_hz < RATE / 5)
        x = x + loud * torch.sin(TAU * (order * angle + draw.uniform(0, 1)))
    breath = shaped(draw.normal(n), band(n, draw.log_uniform(100, 1500), draw.log_uniform(1000, 7900), 1))
    breath = breath * (1 + draw.uniform(0, 1) * torch.sin(TAU * (every * angle + draw.uniform(0, 1))))
    return unit(unit(shaped(x, draw.colour(n, draw.uniform(0, 12)))) + draw.decibels(-25, 6) * unit(breath)) * swell(draw, n)


def traffic(draw: Draw, n: int) -> torch.Tensor:
    """A street: cars that come and go over the roar of all the others."""
    roar = unit(shaped(draw.noise(n, draw.uniform(0.3, 2)), draw.colour(n, draw.uniform(0, 6))) * torch.exp(draw.uniform(0, 0.7) * draw.walk(n, 10)))
    cars = draw.decibels(-12, 8) * several_cylinders(draw, n) + draw.decibels(-18, 4) * several_cylinders(draw, n)
    return unit(roar + cars)


def motor(draw: Draw, n: int) -> torch.Tensor:
    """Electric tools: commutator, gears, humming at twice the mains, under a changing load."""
    pulls = (draw.walk(n, 10) * draw.log_uniform(0.003, 0.15)).clamp(-0.6, 0.6)
    started = 1 - draw.either(0.4, torch.exp(-draw.seconds(n) / draw.log_uniform(0.05, 1.5)), 0.0)
    angle = (draw.log_uniform(120, 600) * (1 + pulls) * started).cumsum(1) / RATE
    x = torch.zeros(draw.clips, n, device=draw.device)
    for _ in range(5):
        order = draw.either(0.6, draw.integer(1, 26).float(), draw.uniform(0.2, 12))
        sharp = draw.uniform(0, 2)
        wave = torch.sin(TAU * order * angle + draw.uniform(0, 6.3))
        x = x + draw.log_uniform(0.05, 1) * torch.exp(sharp * (wave - 1)) * draw.sign()
    mains = 1 + draw.uniform(0, 0.8) * torch.sin(TAU * draw.either(0.5, draw.uniform(99, 101), draw.uniform(119, 121)) * draw.seconds(n))
    brushes = shaped(draw.normal(n), band(n, draw.log_uniform(500, 3000), draw.log_uniform(3000, 7900), 1))
    x = unit(x - x.mean(1, keepdim=True)) + draw.decibels(-25, 6) * unit(brushes)
    return unit(shaped(x * mains, draw.colour(n, draw.uniform(2, 14))))


def rotor(draw: Draw, n: int) -> torch.Tensor:
    """Blades that thump or swish, some of a different sound, with the whine of what drives them."""
    blades = draw.integer(2, 6)
    rate_hz = draw.log_uniform(6, 120)
    count = int(130 * n / RATE) + 10
    at = ((1 + 0.03 * draw.walk(count, 6)) / rate_hz).cumsum(1)
    i = torch.arange(count, device=draw.device)[None] % blades
    size = 1 + draw.log_uniform(0.08, 0.4) * draw.normal(6).gather(1, i)
    width = draw.uniform(0.05, 0.4) / rate_hz
    t = draw.seconds(4000)
    thump = rung(spikes(at, size, n), torch.exp(-0.5 * ((t - 2 * width) / width) ** 2))
    swish = thump.clamp_min(0) * shaped(draw.normal(n), band(n, draw.log_uniform(80, 1000), draw.log_uniform(600, 6000), 1))
    edge = torch.diff(thump, dim=1, append=thump[:, -1:])
    x = unit(swish) + draw.either(0.7, draw.decibels(-15, 12), 0.0) * unit(edge)
    return unit(x + draw.either(0.5, draw.decibels(-20, 3), 0.0) * tones(draw, n)) * swell(draw, n)


def tones(draw: Draw, n: int) -> torch.Tensor:
    """Humming, whistling, sirens: harmonics of one slowly wandering pitch, steady or beating."""
    bend = 1 + draw.walk(n, 12) * draw.log_uniform(0.0003, 0.08)
    angle = (draw.log_uniform(38, 700) * bend).cumsum(1) / RATE
    x = torch.zeros(draw.clips, n, device=draw.device)
    for k in range(1, 9):
        x = x + draw.log_uniform(0.05, 1) / k**0.7 * torch.sin(TAU * (k * angle + draw.uniform(0, 1)))
    beat = torch.sin(TAU * draw.log_uniform(1, 12) * draw.seconds(n) + draw.walk(n, 8)) + draw.walk(n, 20)
    x = x * draw.either(0.5, beat.clamp(0, 1.5), 1.0)
    return unit(shaped(x, draw.colour(n, draw.uniform(2, 14))))


def music(draw: Draw, n: int) -> torch.Tensor:
    """Voices that play notes, held or plucked, over a beat."""
    x = torch.zeros(draw.clips, n, device=draw.device)
    beat_s = draw.log_uniform(0.12, 0.8)
    t = draw.seconds(n)
    for _ in range(3):
        note_s = beat_s * 2.0 ** draw.integer(-1, 3).float()
        note = (t / note_s).long()
        pitch = draw.integer(-14, 15, int(n / RATE / 0.06) + 2).float().gather(1, note)
        angle = (draw.log_uniform(35, 400) * 2 ** (pitch / 12)).cumsum(1) / RATE
        dies = torch.exp(-(t - note * note_s) / draw.either(0.5, draw.log_uniform(0.05, 0.6), 9.0))
        voice = torch.zeros_like(x)
        for k in range(1, 6):
            voice = voice + draw.log_uniform(0.05, 1) / k * torch.sin(TAU * k * angle)
        # Plucked and bowed strings, reeds, brass: as rich as an engine's pulses, as low as an engine turns.
        pulses = torch.exp(draw.log_uniform(1, 60) * (torch.cos(TAU * angle) - 1))
        voice = draw.either(0.5, unit(pulses), unit(voice))
        x = x + draw.log_uniform(0.2, 1) * unit(voice * dies)
    hits = torch.arange(200, device=draw.device)[None] * beat_s
    size = torch.rand(draw.clips, 4, device=draw.device).repeat(1, 50)
    drum = draw.normal(4000) * torch.exp(-draw.seconds(4000) / draw.log_uniform(0.01, 0.08))
    drum = shaped(drum, band(4000, draw.log_uniform(30, 400), draw.log_uniform(200, 7000), 1))
    return unit(x + draw.either(0.7, draw.decibels(-10, 12), 0.0) * unit(rung(spikes(hits, size, n), drum)))


def songs(draw: Draw, n: int) -> torch.Tensor:
    """Chords over a bass and drums that keep a pattern of sixteen steps."""
    step_s = draw.log_uniform(0.07, 0.25)
    t = draw.seconds(n)
    step = (t / step_s).long()
    hits = torch.arange(128, device=draw.device)[None] * step_s
    x = torch.zeros(draw.clips, n, device=draw.device)
    for low_hz, high_hz, often in ((30, 150, 0.3), (120, 3000, 0.25), (2000, 7900, 0.5)):
        pattern = (draw.chance(often, 16) * draw.uniform(0.2, 1, 16)).repeat(1, 8)
        dies = torch.exp(-draw.seconds(4000) / draw.log_uniform(0.01, 0.15))
        skin_hz = draw.log_uniform(low_hz, (low_hz * high_hz) ** 0.5) * (1 + draw.uniform(0, 2) * torch.exp(-draw.seconds(4000) / 0.02))
        skin = torch.sin(TAU * skin_hz.cumsum(1) / RATE) + draw.decibels(-30, 6) * draw.normal(4000)
        x = x + draw.decibels(-16, 3) * unit(rung(spikes(hits, pattern, n), shaped(skin * dies, band(4000, torch.full_like(step_s, low_hz), torch.full_like(step_s, high_hz), 1))))
    root_hz = draw.log_uniform(33, 110)
    root = draw.integer(0, 12, 8).repeat(1, 40).float()
    third = draw.integer(3, 5, 8).repeat(1, 40).float()
    bars = lambda notes, steps: notes.gather(1, (step // steps).clamp_max(319))
    parts = ((0.0, draw.either(0.5, torch.ones_like(root), (draw.integer(-1, 2, 320) * 12.0))), (12.0, 0 * root), (12.0, third), (12.0, 0 * root + 7))
    for octave, above in parts:
        steps = torch.where(draw.chance(0.5), 16, 8 if octave else 2)
        pitch = bars(root, 16) + bars(above.expand(draw.clips, 320), steps) + octave
        angle = (root_hz * 2 ** (pitch / 12) * (1 + 0.004 * draw.walk(n, 60))).cumsum(1) / RATE
        voice = torch.exp(draw.log_uniform(0.5, 40) * (torch.cos(TAU * angle) - 1)) - 0.3
        voice = voice * torch.exp(-(t / step_s % steps) * draw.either(0.6, draw.log_uniform(0.1, 2), 0.0))
        x = x + draw.decibels(-18, 3) * unit(shaped(voice, band(n, draw.uniform(25, 60), draw.log_uniform(300, 6000), 1)))
    return unit(x)


def knocks(draw: Draw, n: int) -> torch.Tensor:
    """Clocks, steps, hammers, drops, crackling: even or by chance, alike or each its own, tick and tock."""
    count = 600
    rate = draw.log_uniform(0.7, 90)
    # What knocks evenly is slower than any engine turns.
    even = torch.where(draw.chance(0.6) & (rate < 14), draw.uniform(0.97, 1), draw.uniform(0, 0.9))
    gap = even + (1 - even) * -torch.log(draw.uniform(1e-4, 1, count))
    at = (gap / rate).cumsum(1)
    at = at + draw.either(0.3, draw.uniform(-0.3, 0.3), 0.0) / rate * (torch.arange(count, device=draw.device) % 2)
    size = torch.exp(draw.uniform(0, 1.2) * draw.normal(count))
    tail = draw.normal(4000) * torch.exp(-draw.seconds(4000) / draw.log_uniform(0.0005, 0.05))
    ring = torch.sin(TAU * draw.log_uniform(200, 6000) * draw.seconds(4000)) * torch.exp(-draw.seconds(4000) / draw.log_uniform(0.001, 0.08))
    share = draw.uniform(0, 1)
    return unit(rung(spikes(at, size, n), share * unit(tail) + (1 - share) * unit(ring)))


def cries(draw: Draw, n: int) -> torch.Tensor:
    """Voices of people and animals: the buzz of a throat whose pitch bends, through formants that move, in syllables."""
    t = draw.seconds(n)
    call_s = draw.log_uniform(0.12, 2)
    call = (t / call_s).long()
    calls = int(n / RATE / 0.12) + 2
    within = (t / call_s - call).clamp(0, 1)
    start, bend = draw.uniform(-0.4, 0.4, calls).gather(1, call), draw.uniform(-0.8, 0.8, calls).gather(1, call)
    flutter = 1 + draw.log_uniform(0.003, 0.05) * draw.walk(n, 60)
    pitch = draw.log_uniform(70, 900) * 2 ** (start + bend * within) * flutter
    angle = pitch.cumsum(1) / RATE
    buzz = torch.exp(draw.uniform(1, 12) * (torch.cos(TAU * angle) - 1)) + draw.decibels(-30, 0) * draw.normal(n)
    x = torch.zeros_like(buzz)
    for low, high in ((200, 900), (800, 2600), (2200, 4200)):
        centre = draw.log_uniform(low, high)
        x = x + draw.log_uniform(0.2, 1) * unit(shaped(buzz, band(n, centre / 1.2, centre * 1.2, 2)))
    loud = draw.uniform(0, 1, calls).gather(1, call) * torch.sin(math.pi * within).clamp_min(0) ** draw.uniform(0.3, 2)
    return unit(x * (loud + 0.003))


def weather(draw: Draw, n: int) -> torch.Tensor:
    """Wind, water, rain, crowds, traffic far off: noise of any slope and colour in slow or quick swells."""
    slow = torch.exp(draw.uniform(0, 1.2) * draw.walk(n, 14))
    quick = torch.exp(draw.either(0.3, draw.uniform(0, 1.2), 0.0) * draw.walk(n, 120))
    return unit(shaped(draw.noise(n, draw.uniform(-0.5, 3)), draw.colour(n, draw.uniform(0, 8))) * slow * quick)


def trains(draw: Draw, n: int, rate_hz: torch.Tensor, wander: float) -> torch.Tensor:
    """Impulses at a rate that wanders, alike or each its own, in pairs or not, on all the time or in bouts."""
    count = int(170 * n / RATE) + 10
    bend = torch.exp(wander * draw.walk(count, 12))
    at = (1 / (rate_hz * bend)).cumsum(1)
    odd = torch.arange(count, device=draw.device)[None] % 2
    at = at + odd * draw.either(0.5, draw.uniform(-0.45, 0.45), 0.0) / rate_hz
    size = torch.exp(draw.log_uniform(0.01, 0.5) * draw.normal(count)) * (1 - odd * draw.either(0.5, draw.uniform(0, 1), 0.0))
    bout = torch.sin(TAU * draw.log_uniform(0.2, 4) * draw.seconds(n) + draw.uniform(0, 6.3)) > draw.either(0.5, draw.uniform(-1, 0.8), -2.0)
    return spikes(at, size, n) * bout


def clicks(draw: Draw, n: int) -> torch.Tensor:
    """Ratchets, freewheels, sewing machines, printers, cards in spokes: dry clicks as even as an engine, with no pipe to sound in."""
    t = draw.seconds(1600)
    ring = torch.sin(TAU * draw.log_uniform(1000, 7000) * t) * torch.exp(-t / draw.log_uniform(0.0003, 0.008))
    dry = draw.normal(1600) * torch.exp(-t / draw.log_uniform(0.0002, 0.004))
    share = draw.uniform(0, 1)
    x = rung(trains(draw, n, draw.log_uniform(5, 160), 0.15), share * unit(ring) + (1 - share) * unit(dry))
    return unit(shaped(x, band(n, draw.log_uniform(400, 2500), draw.log_uniform(3000, 7900), 2)))


def strokes(draw: Draw, n: int) -> torch.Tensor:
    """Shavers, jigsaws, sanders, pumps, compressors: a motor that drives something to and fro at a steady rate."""
    rate_hz = draw.either(0.3, draw.integer(1, 3).float() * draw.either(0.5, 50.0 + draw.uniform(-0.2, 0.2), 60.0), draw.log_uniform(6, 110))
    t = draw.seconds(n)
    angle = (rate_hz * (1 + draw.log_uniform(0.001, 0.05) * draw.walk(n, 10))).cumsum(1) / RATE
    swing = torch.exp(draw.uniform(0.5, 6) * (torch.cos(TAU * angle) - 1)) + draw.uniform(0, 0.8) * torch.cos(TAU * angle).square()
    rasp = unit(swing * shaped(draw.normal(n), band(n, draw.log_uniform(150, 2500), draw.log_uniform(1500, 7900), 1)))
    knock = unit(rung(trains(draw, n, rate_hz, 0.0), draw.normal(2000) * torch.exp(-t[:, :2000] / draw.log_uniform(0.001, 0.02))))
    return unit(unit(shaped(rasp + draw.decibels(-20, 6) * knock, draw.colour(n, draw.uniform(0, 12)))) + draw.decibels(-14, 8) * motor(draw, n))


def chirps(draw: Draw, n: int) -> torch.Tensor:
    """Crickets, frogs, woodpeckers, buzzers, alarms: bursts of a tone or of noise, quick and even."""
    rate_hz = draw.log_uniform(5, 150)
    burst = torch.exp(-draw.seconds(4000) / (draw.uniform(0.05, 0.5) / rate_hz))
    envelope = rung(trains(draw, n, rate_hz, 0.08).abs(), burst)
    tone_hz = draw.log_uniform(500, 7000) * (1 + draw.log_uniform(0.001, 0.08) * draw.walk(n, 40))
    carrier = torch.sin(TAU * tone_hz.cumsum(1) / RATE) + draw.uniform(0, 0.6) * torch.sin(2 * TAU * tone_hz.cumsum(1) / RATE)
    noise = shaped(draw.normal(n), band(n, draw.log_uniform(600, 4000), draw.log_uniform(4000, 7900), 2))
    return unit(envelope * torch.where(draw.chance(0.7), carrier, unit(noise)))


MADE = (several_cylinders, orders, traffic, motor, rotor, tones, music, songs, knocks, clicks, strokes, chirps, cries, weather)
LIKE_ENGINES = (several_cylinders, orders, motor, music, songs)
"""Those most easily taken for a small engine."""


class Bank:
    """Recorded sounds, [sounds, samples] in mu-law codes, played from anywhere, faster or slower."""

    def __init__(self, codes: torch.Tensor):
        self.codes = codes
        level = torch.arange(256, device=codes.device, dtype=torch.float32) / 127.5 - 1
        self.decoded = torch.sign(level) * (torch.exp(level.abs() * math.log(256)) - 1) / 255

    def __call__(self, draw: Draw, n: int) -> torch.Tensor:
        which = draw.integer(0, len(self.codes))[:, 0]
        rate = draw.log_uniform(0.75, 1.33)
        length = self.codes.shape[1]
        at = (draw.uniform(0, length) + torch.arange(n, device=draw.device)[None] * rate) % (length - 1)
        return unit(sampled(self.decoded[self.codes[which].long()], at))
