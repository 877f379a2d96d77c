"""Builds the bank of everyday sounds that are no small single-cylinder engine.

Usage: /usr/bin/python3 scripts/ear/sounds.py [FOLDER]    (FOLDER: .ear-data at the root of the repository)

sounds.json lists the sounds, which Debian packages carry under free licences; each is credited there with its package, path,
licence and SHA-256. The packages are fetched with apt-get, the listed files taken out and checked against their SHA-256,
decoded with ffmpeg, cut to clips of 6.144 s and stored in FOLDER/sounds.npz, together with market talk read aloud by
espeak-ng (speech.sh). Run twice on the same packages, it writes the same clips. Needs Debian's apt, dpkg, ffmpeg, espeak-ng
and numpy, and room for 2.5 GB of packages (FOLDER/debs may be deleted afterwards).

sounds.npz holds `mulaw` [clips, 98304] and `speech` [talks, 98304] at 16 kHz as mu-law codes; `kind` [clips], index into `kinds`;
and `negative` [clips], true where a clip on its own surely holds no small single-cylinder engine.

An entry of sounds.json has the fields
  package, path   where the sound lies; in "archive!file" the archive is a zip archive inside the package
  kind            what it is a sound of
  licence         SPDX expression, as read in the package's copyright file
  sha256          of the file
  cuts            clips made of it, 1 unless given
  loop            true: made to be played in a loop, so its end runs on into its beginning
  group           files of one package and group sound in turn in the same clips
  negative        false: background only, for an engine may be somewhere in it
"""
import hashlib
import io
import json
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np

RATE_HZ = 16000
CLIP = 98304
"""Samples of a clip: 6.144 s."""
LEVEL = 0.1
"""Root mean square of a clip re full scale, unless its peak would pass PEAK."""
PEAK = 0.98
MU = 255
"""Of the mu-law code, as in ITU-T G.711."""
LOWEST_HZ = 15
"""Cut-off of the high-pass that takes out what no microphone of a phone hears, offsets above all."""
QUIET = 3e-4
"""Level below which a clip is refused. Chosen: half of what the quietest of the list has."""
GAP_S = (0.05, 0.9)
"""Pauses between the repeats of a short sound. Chosen."""
STEADY_KINDS = {"tick", "step", "tool", "impact", "bell"}
"""Kinds of which about every second clip repeats its sound at even intervals, as hammers, steps and clocks do. Chosen."""
STEADY_S = (0.12, 0.8)
"""Those intervals. Chosen."""
ONGOING_KINDS = {"aircraft", "car", "crowd", "fire", "machine", "vehicle", "water", "wind"}
"""Kinds whose repeats run into each other instead of leaving pauses."""
FADE_S, ONGOING_FADE_S = 0.005, 0.15
"""Fade at the ends of a sound that is no loop, and of one of the ongoing kinds."""
LOOP_SPEEDS = (1, 0.65, 1.5)
"""How fast loops are played in the first, second, third clip: games play them so for other speeds of a machine. Chosen."""
SEED = 15

HERE = Path(__file__).resolve().parent
FOLDER = HERE.parents[1] / ".ear-data"


def encode(x):
    """Samples from -1 to 1 to continuous mu-law in 8 bits; simulate/others.py plays them."""
    return np.round((np.sign(x) * np.log1p(MU * np.abs(x)) / np.log1p(MU) + 1) * 127.5).astype(np.uint8)


def build(folder):
    """Makes FOLDER/sounds.npz."""
    credits = json.loads((HERE / "sounds.json").read_text())
    files = collect(credits, folder)
    groups = {}
    for entry in credits["files"]:
        groups.setdefault((entry["package"], entry.get("group", entry["path"])), []).append(entry)
    with ThreadPoolExecutor(2) as pool:
        made = list(pool.map(lambda group: clips_of(group, files), groups.values()))
    kinds = sorted({entry["kind"] for entry in credits["files"]})
    rows = [(clip, group[0]) for group, clips in zip(groups.values(), made) for clip in clips]
    np.savez_compressed(
        folder / "sounds.npz",
        mulaw=np.stack([encode(clip) for clip, _ in rows]),
        kind=np.array([kinds.index(entry["kind"]) for _, entry in rows], np.uint8),
        kinds=np.array(kinds),
        negative=np.array([entry.get("negative", True) for _, entry in rows]),
        speech=np.stack([encode(clip) for clip in talk()]),
    )
    for name in kinds:
        print(f"{sum(entry['kind'] == name for _, entry in rows):4d} {name}")
    print(f"{len(rows):4d} clips, {(folder / 'sounds.npz').stat().st_size / 1e6:.1f} MB")


def collect(credits, folder):
    """The bytes of every listed file, by package and path; raises ValueError where a file is missing or not the same."""
    debs = folder / "debs"
    debs.mkdir(parents=True, exist_ok=True)
    files = {}
    for package, version in credits["packages"].items():
        wanted = [entry for entry in credits["files"] if entry["package"] == package]
        content = unpack(download(package, version, debs), {entry["path"].split("!")[0] for entry in wanted})
        for entry in wanted:
            outer, _, inner = entry["path"].partition("!")
            data = content.get(outer)
            if data is not None and inner:
                with zipfile.ZipFile(io.BytesIO(data)) as archive:
                    data = archive.read(inner)
            if data is None or hashlib.sha256(data).hexdigest() != entry["sha256"]:
                raise ValueError(f"{package} {version}: {entry['path']} is missing or is not the file that was credited")
            files[package, entry["path"]] = data
    return files


def download(package, version, debs):
    """Path of the package, fetched unless it is there. Run `apt-get update` first; apt says so where that version is gone."""
    name = f"{package}_{version.replace(':', '%3a')}_*.deb"
    if not list(debs.glob(name)):
        subprocess.run(["apt-get", "download", "-qq", f"{package}={version}"], cwd=debs, check=True)
    return next(debs.glob(name))


def unpack(deb, paths):
    """The bytes of the files `paths` of a package, by path."""
    content = {}
    with subprocess.Popen(["dpkg-deb", "--fsys-tarfile", str(deb)], stdout=subprocess.PIPE) as process:
        with tarfile.open(fileobj=process.stdout, mode="r|") as tar:
            for member in tar:
                name = member.name.removeprefix("./")
                if name in paths and member.isfile():
                    content[name] = tar.extractfile(member).read()
    return content


def clips_of(group, files):
    """The clips of one group of files: a list of float32 [98304]."""
    first = group[0]
    name = f"{first['package']} {first.get('group', first['path'])}"
    rng = np.random.default_rng([SEED, *hashlib.sha256(name.encode()).digest()[:8]])
    sounds = [decode_file(files[entry["package"], entry["path"]], entry["path"]) for entry in group]
    kind, cuts = first["kind"], first.get("cuts", 1)
    if first.get("loop"):
        clips = [wrapped(sounds, LOOP_SPEEDS[k % len(LOOP_SPEEDS)], rng) for k in range(cuts)]
    elif len(sounds) == 1 and len(sounds[0]) >= CLIP:
        clips = pieces(sounds[0], cuts)
    elif kind in ONGOING_KINDS:
        clips = [repeated([trim(sound, ONGOING_FADE_S) for sound in sounds], overlapping, rng) for _ in range(cuts)]
    else:
        spacing = evenly(rng) if kind in STEADY_KINDS and rng.random() < 0.5 else pausing
        clips = [repeated([trim(sound, FADE_S) for sound in sounds], spacing, rng) for _ in range(cuts)]
    return [levelled(clip, name) for clip in clips]


def decode_file(data, path):
    """Sound of a file as one channel at 16 kHz: float32."""
    with tempfile.NamedTemporaryFile(suffix=Path(path).suffix) as file:
        file.write(data)
        file.flush()
        done = subprocess.run(
            ["ffmpeg", "-v", "error", "-i", file.name, "-ac", "1", "-af",
             f"aresample={RATE_HZ}:resampler=soxr:precision=24:osf=fltp,highpass=f={LOWEST_HZ}", "-f", "f32le", "-"],
            stdout=subprocess.PIPE, check=True)
    return np.frombuffer(done.stdout, np.float32)


def trim(sound, fade_s):
    """Without the silence at its ends, faded in and out over `fade_s` (half of it, if shorter), energy in a straight line."""
    loud = np.flatnonzero(np.abs(sound) >= 0.003 * np.abs(sound).max())
    sound = sound[loud[0]:loud[-1] + 1].copy()
    ramp = np.sqrt(np.linspace(0, 1, min(int(RATE_HZ * fade_s), len(sound) // 2), endpoint=False, dtype=np.float32))
    sound[:len(ramp)] *= ramp
    sound[len(sound) - len(ramp):] *= ramp[::-1]
    return sound


def pieces(sound, cuts):
    """Pieces of a long sound, one of each of `cuts` equal stretches; each is the loudest of nine places there."""
    room = len(sound) - CLIP
    clips = []
    for k in range(cuts):
        starts = [int(room * (k + 0.5 + shift) / cuts) for shift in np.linspace(-0.4, 0.4, 9)]
        clips.append(max((sound[at:at + CLIP] for at in starts), key=lambda clip: float(np.square(clip).mean())))
    return clips


def wrapped(sounds, speed, rng):
    """A loop, or several in turn, played `speed` times as fast from a random place on until the clip is full."""
    loop = np.concatenate(sounds)
    length = round(len(loop) / speed)
    loop = np.fft.irfft(np.fft.rfft(loop)[:length // 2 + 1], length) * (length / len(loop))
    return loop[(rng.integers(length) + np.arange(CLIP)) % length].astype(np.float32)


def repeated(sounds, spacing, rng):
    """Short sounds in random order until the clip is full; `spacing(n, rng)`: from one of n samples to the next."""
    clip = np.zeros(CLIP, np.float32)
    at, order = 0, []
    while at < CLIP:
        order = order or list(rng.permutation(len(sounds)))
        sound = sounds[order.pop()]
        part = sound[:CLIP - at]
        clip[at:at + len(part)] += part * rng.uniform(0.7, 1)
        at += spacing(len(sound), rng)
    return clip


def pausing(n, rng):
    """The next sound starts after a random pause."""
    return n + int(RATE_HZ * rng.uniform(*GAP_S))


def overlapping(n, rng):
    """The next sound fades in while this one fades out."""
    return n - min(int(RATE_HZ * ONGOING_FADE_S), n // 2)


def evenly(rng):
    """A spacing at even intervals, give or take 1 %, over the tails of sounds that are longer."""
    interval = RATE_HZ * np.exp(rng.uniform(*np.log(STEADY_S)))
    return lambda n, rng: max(int(interval * rng.normal(1, 0.01)), n // 2)


def levelled(clip, name):
    """Brought to LEVEL, or to PEAK where that comes first; raises ValueError for silence and for what is not finite."""
    level = float(np.sqrt(np.square(clip, dtype=np.float64).mean()))
    if not np.isfinite(level) or level < QUIET or len(clip) != CLIP:
        raise ValueError(f"{name}: no clip comes of it (level {level}, {len(clip)} samples)")
    return clip * min(LEVEL / level, PEAK / float(np.abs(clip).max()))


def talk():
    """Clips of market talk read aloud: one of each text, from its middle."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["sh", str(HERE / "speech.sh"), folder], check=True)
        sounds = [decode_file(path.read_bytes(), path.name) for path in sorted(Path(folder).glob("*.wav"))]
    return [levelled(pieces(np.resize(sound, max(len(sound), CLIP)), 1)[0], "speech") for sound in sounds]


if __name__ == "__main__":
    build(Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER)
