"""What a phone makes of sound: microphone, leveller, suppressor of noise, overdrive, codec, loudness."""
import torch

from .draw import RATE, Draw, band, shaped, smooth, unit

WINDOW, HOP = 512, 256
CONTROL_RATE = 200


def recorded(draw: Draw, x: torch.Tensor) -> torch.Tensor:
    """Sound of unit power as a file holds it, [clips, n]."""
    n = x.shape[1]
    low = draw.either(0.6, draw.log_uniform(20, 350), 5.0)
    high = draw.either(0.38, draw.log_uniform(350, 6000), 9000.0)
    x = unit(shaped(x, draw.colour(n, draw.uniform(0, 9)) * band(n, low, high)))
    x = x + draw.noise(n, draw.uniform(0, 1)) * draw.decibels(-60, -15)
    x = overdriven(draw, levelled(draw, x))
    x = coded(draw, x)
    # Which way round a microphone is wired, nobody knows.
    loud = draw.sign() * 10 ** (draw.uniform(-62, -8) / 20)
    return unit(x) * loud


def levelled(draw: Draw, x: torch.Tensor) -> torch.Tensor:
    """Quiet made louder and loud made quieter, in half of the clips, as quickly as within a turn or over seconds."""
    n = x.shape[1]
    energy = torch.nn.functional.avg_pool1d(x.square()[:, None], RATE // CONTROL_RATE)[:, 0]
    envelope = smooth(energy, draw.log_uniform(0.008, 1), CONTROL_RATE).clamp_min(1e-6).sqrt()
    gain = envelope ** -draw.either(0.55, draw.uniform(0.2, 1), 0.0)
    return unit(x * torch.nn.functional.interpolate(gain[:, None], n, mode="linear")[:, 0])


def overdriven(draw: Draw, x: torch.Tensor) -> torch.Tensor:
    drive = draw.either(0.25, draw.log_uniform(0.3, 3), 0.05)
    return unit(torch.where(draw.chance(0.5), (x * drive).clamp(-1, 1), torch.tanh(x * drive)))


def coded(draw: Draw, x: torch.Tensor) -> torch.Tensor:
    """What is steady pushed down, what is masked left out, coarse steps put in, and a call's narrow band."""
    n = x.shape[1]
    window = torch.hann_window(WINDOW, device=draw.device)
    s = torch.stft(x, WINDOW, HOP, window=window, return_complex=True)
    size = s.abs()
    # A suppressor takes for noise what hardly changes, be it an engine.
    steady = torch.exp(torch.log(size + 1e-4).mean(2, keepdim=True))
    kept = (1 - draw.uniform(0.3, 1.6)[..., None] * steady / (size + 1e-6)).clamp_min(draw.decibels(-25, -4)[..., None])
    suppressed = draw.chance(0.12)
    s = s * torch.where(suppressed[..., None], kept, 1.0)
    # A codec drops what lies far below the loudest, and adds coarseness that follows the sound.
    masked = size > size.amax(1, keepdim=True) * draw.decibels(-45, -16)[..., None]
    s = s * torch.where(draw.chance(0.25)[..., None], masked, torch.ones_like(masked))
    around = torch.nn.functional.avg_pool2d(size[:, None], (9, 3), 1, (4, 1), count_include_pad=False)[:, 0]
    coarse = torch.view_as_complex(torch.randn(*size.shape, 2, device=draw.device)) * around
    call = draw.chance(0.14)
    amount = torch.where(call, draw.decibels(-14, -1), draw.either(0.12, draw.decibels(-22, -5), 0.0))
    s = s + coarse * amount[..., None]
    y = torch.istft(s, WINDOW, HOP, window=window, length=n)
    narrow = band(n, torch.where(call, draw.log_uniform(60, 320), 4.0), torch.where(call, draw.uniform(2800, 3900), 9000.0), 6)
    return unit(shaped(y, narrow))
