"""Where the engine is heard: rooms and yards, cloth over the microphone, wind, and what else sounds."""
import torch

from . import others
from .draw import RATE, Draw, band, rung, shaped, smooth, unit

ROOM = 8000


def echoes(draw: Draw) -> torch.Tensor:
    """Answer of the surroundings, [clips, ROOM]: nothing but the direct sound in half of the clips."""
    t = draw.seconds(ROOM)
    tail = draw.normal(ROOM) * torch.exp(-6.9 * t / draw.log_uniform(0.05, 0.7))
    tail[:, : int(0.001 * RATE)] = 0
    tail = tail / tail.square().sum(1, keepdim=True).sqrt()
    answer = tail * draw.either(0.45, draw.decibels(-18, 3), 0.0)
    wall = draw.integer(int(0.002 * RATE), int(0.03 * RATE))
    answer.scatter_add_(1, wall, draw.either(0.3, draw.uniform(-0.7, 0.7), 0.0))
    answer[:, 0] = 1
    return answer


def cloth(draw: Draw, x: torch.Tensor) -> torch.Tensor:
    """A pocket: dull, and everything rubs and rattles; in a tenth of the clips."""
    n = x.shape[1]
    dull = unit(shaped(x, band(n, draw.log_uniform(10, 60), draw.log_uniform(300, 2000), 1)))
    steps = smooth(draw.noise(n // 16, draw.uniform(0, 1)).abs(), draw.uniform(0.005, 0.05), RATE / 16)
    steps = torch.nn.functional.interpolate(steps[:, None], n, mode="linear")[:, 0]
    rub = unit(shaped(draw.normal(n), band(n, draw.log_uniform(60, 500), draw.log_uniform(400, 6000), 1)) * steps ** draw.uniform(0.5, 3))
    dull = dull + draw.decibels(-22, 2) * rub + draw.decibels(-30, 0) * others.knocks(draw, n)
    return torch.where(draw.chance(0.1), unit(dull), x)


def placed(draw: Draw, x: torch.Tensor, alone: torch.Tensor, banks: dict[str, others.Bank]) -> torch.Tensor:
    """Engine [clips, n] of unit power, or silence in the clips where `alone`, with its surroundings.

    alone: clips without an engine, [clips] on the processor: there one other sound is as loud as the engine would be
    """
    n = x.shape[1]
    y = x
    # Half of the engines are recorded as a careful rider would: little else sounds, and all of it softly.
    careful = (torch.rand(draw.clips) < 0.5) & ~alone
    softly = torch.where(careful, 0.25, 1.0).to(draw.device)[:, None]
    streets = (others.several_cylinders, others.orders, others.traffic)
    sources = [(f, -8.0, 26.0, 0.13) if f in streets else (f, -6.0, 26.0, 0.045) for f in others.MADE]
    if "speech" in banks:
        sources.append((banks["speech"], -6.0, 20.0, 0.12))
    if "sounds" in banks:
        sources.append((banks["sounds"], -4.0, 26.0, 0.35))
    # Recorded sounds lead in a fifth of the clips without an engine, and what is most like one twice as often as the rest. All this is
    # drawn on the processor: the card then never waits to be told which clips hear a sound.
    leads = [2.0 if f in others.LIKE_ENGINES else 5.0 if f is banks.get("sounds") else 1.0 for f, *_ in sources]
    lead = torch.multinomial(torch.tensor(leads), draw.clips, replacement=True)
    for k, (make, loud, quiet, often) in enumerate(sources):
        main = alone & (lead == k)
        rows = (main | (torch.rand(draw.clips) < torch.where(careful, 0.3 * often, often))).nonzero()[:, 0]
        if len(rows) == 0:
            continue
        part = Draw(len(rows), draw.device)
        on_card = lambda t: t[rows].to(draw.device, non_blocking=True)
        gain = torch.where(on_card(main)[:, None], 1.0, part.decibels(-quiet, -loud))
        gain = gain * on_card(torch.where(careful, 0.25, 1.0))[:, None]
        y = y.index_add(0, rows.to(draw.device, non_blocking=True), gain * make(part, n))
    y = rung(y, echoes(draw))
    wind = draw.noise(n, draw.uniform(0, 2.5)) * torch.exp(draw.uniform(0.2, 1.2) * draw.walk(n, 12))
    y = y + softly * wind * draw.either(0.75, draw.decibels(-40, 5), 0.0)
    hiss = draw.noise(n, draw.uniform(-0.5, 1.2)) * draw.decibels(-45, -2)
    return cloth(draw, unit(y + softly * hiss))
