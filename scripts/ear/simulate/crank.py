"""How fast the crank turns, when each turn begins, and when the throttle is closed."""
import math
from dataclasses import dataclass

import torch

from .draw import Draw, interpolate, smooth

LOWEST_HZ, HIGHEST_HZ = 15.8, 238.0
CURVE_RATE = 500
"""Points a second of the curve of speed."""


@dataclass(frozen=True)
class Crank:
    start_s: torch.Tensor
    """When each turn begins at the engine, [clips, turns], evenly rising; turns beyond the clip's end included."""
    turn_s: torch.Tensor
    """Length of the turns, [clips, turns]."""
    inside: torch.Tensor
    """Turns that exist, [clips, turns]."""
    closed: torch.Tensor
    """Turns with the throttle closed, [clips, turns]."""
    slow: torch.Tensor
    """Clips at the speed of idling, [clips, 1]."""


def speed_curve(draw: Draw, seconds: float) -> torch.Tensor:
    """Turns a second at CURVE_RATE points a second: cruising, pick-ups, blips, loads, hunting."""
    n, knots = int(seconds * CURVE_RATE) + 200, 9
    base = draw.log_uniform(18, 215)
    # Seven riders of ten hold a speed.
    reach = draw.either(0.7, draw.log_uniform(1.002, 1.12), draw.log_uniform(1.2, 6))
    top = torch.minimum(base * reach, draw.uniform(150, 235)).clamp_min(base * 1.001)
    at = torch.sort(draw.uniform(0, seconds, knots), 1)[0]
    at[:, 0], at[:, -1] = -1, seconds + 2
    height = draw.uniform(0, 1, knots) ** draw.uniform(0.5, 2)
    value = torch.exp(torch.log(base) + height * torch.log(top / base))
    hold = draw.chance(0.4, knots)
    for k in range(1, knots):
        value[:, k] = torch.where(hold[:, k], value[:, k - 1], value[:, k])
    time = (torch.arange(n, device=draw.device) / CURVE_RATE)[None].expand(draw.clips, -1)
    speed = interpolate(time, at, value)
    hunt = torch.sin(2 * math.pi * draw.uniform(0.7, 3.5) * time + draw.uniform(0, 6.3))
    speed = speed * (1 + draw.either(0.15, draw.uniform(0.02, 0.1), 0.0) * hunt)
    speed = speed * (1 + draw.walk(n, 14) * draw.log_uniform(0.001, 0.03))
    speed = smooth(speed * blips(draw, time, seconds), draw.uniform(0.01, 0.08), CURVE_RATE)
    return torch.cat([speed[:, 50:51].expand(-1, 50), speed[:, 50:]], 1).clamp(LOWEST_HZ, HIGHEST_HZ)


def blips(draw: Draw, time: torch.Tensor, seconds: float) -> torch.Tensor:
    """Factors on the speed: the throttle opened for a moment now and then, in one of seven clips."""
    high = torch.zeros_like(time)
    for _ in range(3):
        since = time - draw.uniform(0, seconds)
        rise, fall = draw.log_uniform(0.08, 0.5), draw.log_uniform(0.15, 1)
        up = torch.where(since < rise, since / rise, torch.exp(-(since - rise) / fall)).clamp_min(0)
        high = torch.maximum(high, up * draw.uniform(0.2, 1.3))
    return torch.exp(draw.either(1 / 7, 1.0, 0.0) * high)


def turn(draw: Draw, seconds: float) -> Crank:
    """Draws the turns of every clip."""
    return turns_at(draw, speed_curve(draw, seconds), seconds)


def turns_at(draw: Draw, speed: torch.Tensor, seconds: float) -> Crank:
    """Turns of clips whose speed is known, at CURVE_RATE points a second."""
    n, fine = speed.shape[1], 4
    curve = torch.nn.functional.interpolate(speed[:, None], n * fine, mode="linear", align_corners=True)[:, 0]
    angle = curve.double().cumsum(1) / (CURVE_RATE * fine)
    turns = int(HIGHEST_HZ * (seconds + 0.4)) + 2
    wanted = torch.arange(turns, device=draw.device)[None] + torch.rand(draw.clips, 1, device=draw.device)
    time = (torch.arange(n * fine, device=draw.device) / (CURVE_RATE * fine))[None].expand(draw.clips, -1)
    start = interpolate(wanted.double(), angle, time.double())
    length = torch.diff(start, dim=1, append=start[:, -1:] + 0.01).clamp(1 / 250, 1 / 14).float()
    # The throttle is closed where the speed falls, in half of the clips: then nothing fires.
    slope = torch.diff(torch.log(speed), dim=1, append=torch.log(speed[:, -1:])) * CURVE_RATE
    falls = smooth(slope, torch.full_like(speed[:, :1], 0.06), CURVE_RATE) < -draw.log_uniform(0.12, 0.6)
    falls = falls & draw.chance(0.5)
    points = (start * CURVE_RATE).long().clamp(0, n - 1)
    slow = speed.quantile(0.5, 1, keepdim=True) < 62
    return Crank(start.float(), length, wanted < angle[:, -1:], falls.gather(1, points), slow)
