"""Where phrases begin and end, by each detector: ``python tests/benchmarks/endpointing.py``.

Phrases in three flite voices, some with a pause inside, stand in quiet and in workshop noises at
20, 10 and 5 dB. Half of the phrases and noise seeds (``fit``) chose the settings, with
``--choose``; the other half (``kept``) is reported. Needs the package flite; about a minute.
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[1]))
from benchmarks.hearing import noises, sounds
from benchmarks.hearing.voices import Studio

from voiceassist.recognise.detector import VadDetector
from voiceassist.recognise.silero import SileroDetector
from voiceassist.sound.clip import LISTEN_RATE_HZ, Clip
from voiceassist.sound.frames import frames
from voiceassist.sound.samples import clip_of
from voiceassist.sound.segment import UNHURRIED, Segment, Segmenter, SpeechDetector, Timing

Floats = NDArray[np.float64]
#: Where a phrase begins and ends, in seconds.
Span = tuple[float, float]

VOICES = ("flite slt", "flite rms", "flite awb")
LEVELS = ("quiet", "20", "10", "5")
#: Words, and pauses in seconds where the speaker looks at his meter.
PHRASES: Mapping[str, Sequence[tuple[str | float, ...]]] = {
    "fit": (
        ("eight", 0.45, "point four volts"), ("twelve", 0.3, "volts"),
        ("zero point", 0.5, "three five ohms"), ("nine", 0.2, "amps"),
        ("dim",), ("affirm",), ("done",), ("yes",), ("six",),
        ("twelve point six volts",), ("what is the limit",),
        ("correction", 0.35, "eleven point nine volts"),
    ),
    "kept": (
        ("six point", 0.5, "four volts"), ("eleven", 0.4, "volts"),
        ("three", 0.3, "point eight ohms"), ("two", 0.2, "milli amps"),
        ("off",), ("negative",), ("no",), ("ready",), ("skip",),
        ("thirteen point eight volts",), ("tell me how",),
        ("i said", 0.45, "twelve point two volts"),
    ),
}  # fmt: skip
_SEEDS = {"fit": 100, "kept": 900}
_GAP_S = 1.5
_SPEECH_DBFS = -26.0
_NOISE_ALONE_S = 60
#: A start is late when the clip begins so long after the speech; an end is early likewise.
_SLACK_S = 0.03
_EARLY_END_S = 0.06


@dataclass(frozen=True, slots=True)
class Stream:
    """A stretch of sound with phrases in it.

    Parts:
        level, noise: how loud the noise is, and its kind.
        clip: the sound.
        spoken: where each phrase begins and ends, in seconds.
    """

    level: str
    noise: str
    clip: Clip
    spoken: tuple[Span, ...]


def phrase(parts: Sequence[str | float], voice: str, studio: Studio) -> Floats:
    """One phrase with its pauses."""
    sound = [
        np.zeros(round(part * LISTEN_RATE_HZ))
        if isinstance(part, float)
        else studio.spoken(part, voice, "normal")
        for part in parts
    ]
    return np.concatenate(sound)


def stream(part: str, voice: str, level: str, noise: str, studio: Studio) -> Stream:
    """Every phrase of a part by one voice, in one noise."""
    quiet = np.zeros(round(_GAP_S * LISTEN_RATE_HZ))
    said, spoken = [quiet], []
    at_s = _GAP_S
    for each in PHRASES[part]:
        sound = noises.unit_power(phrase(each, voice, studio))
        said += [sound, quiet]
        spoken.append((at_s, at_s + sound.size / LISTEN_RATE_HZ))
        at_s = spoken[-1][1] + _GAP_S
    speech = np.concatenate(said)
    seed = np.random.RandomState(_SEEDS[part] + VOICES.index(voice))
    around = _noise(noise, speech.size, seed, part, studio)
    gain = 10 ** (-sounds.SNR_DB[level] / 20)
    scale = 32_768 * 10 ** (_SPEECH_DBFS / 20)
    return Stream(level, noise, clip_of((speech + gain * around) * scale, 16_000), tuple(spoken))


def _noise(kind: str, size: int, seed: np.random.RandomState, part: str, studio: Studio) -> Floats:
    talk = sounds.pool(part, studio) if kind == "babble" else ()
    return noises.unit_power(sounds.noise(kind, size, seed, talk))


def streams(part: str, studio: Studio) -> Iterator[Stream]:
    """Every voice in every noise of a part."""
    for voice, level in product(VOICES, LEVELS):
        kinds = noises.KINDS if level != "quiet" else (sounds.QUIET_NOISE,)
        for kind in kinds:
            yield stream(part, voice, level, kind, studio)


Flags = Sequence[bool]


@dataclass(frozen=True, slots=True)
class Score:
    """What became of the phrases of some streams.

    Parts:
        one, split, missed, late: how many phrases gave one whole segment, several, none, or one
            that lacks their beginning; what is left over was never closed or cut short.
        delays_s: from the end of speech to the decision.
        lead_s: noise alone before the speech in the clip.
    """

    phrases: int
    one: int
    split: int
    missed: int
    late: int
    delays_s: tuple[float, ...]
    lead_s: tuple[float, ...]


def segments_of(flags: Flags, timing: Timing) -> list[tuple[Segment, float]]:
    """Each segment, and when it was decided on."""
    segmenter, found = Segmenter(timing), []
    frame = bytes(960)
    for flag in flags:
        segment = segmenter.push(frame, speech=flag)
        if segment is not None:
            found.append((segment, segmenter.now_s))
    return found


def scored(runs: Iterable[tuple[Stream, Flags]], timing: Timing) -> Score:
    """How well the flags and the timing cut the streams."""
    fates: list[str] = []
    delays, leads = [], []
    for made, flags in runs:
        found = segments_of(flags, timing)
        for span in made.spoken:
            over = [(s, at) for s, at in found if _meet(s, span)]
            fates.append(_fate(over, span, made.spoken))
            if fates[-1] == "one":
                segment, at_s = over[0]
                delays.append(at_s - span[1])
                leads.append(span[0] - segment.start_s)
    one, split, missed, late = (fates.count(fate) for fate in ("one", "split", "missed", "late"))
    return Score(len(fates), one, split, missed, late, tuple(delays), tuple(leads))


def _meet(segment: Segment, span: Span) -> bool:
    return segment.speech_start_s < span[1] and segment.speech_end_s > span[0]


def _fate(over: Sequence[tuple[Segment, float]], span: Span, spoken: Sequence[Span]) -> str:
    """What became of the phrase at ``span``, over which some segments lie."""
    if len(over) != 1:
        return "split" if over else "missed"
    segment, _ = over[0]
    if segment.start_s > span[0] + _SLACK_S:
        return "late"
    whole = segment.end_s > span[1] - _EARLY_END_S and not segment.cut
    return "one" if whole and sum(_meet(segment, each) for each in spoken) == 1 else "other"


def flags_of(clip: Clip, detector: SpeechDetector) -> list[bool]:
    """A fresh detector's answer for each frame."""
    return [detector.is_speech(frame) for frame in frames([clip])]


# --- the tables ---

#: What is compared: a name, the detector, and when it ends a phrase.
WAYS: Sequence[tuple[str, Callable[[], SpeechDetector], Timing]] = (
    ("webrtc", VadDetector, Timing()),
    ("webrtc unhurried", VadDetector, UNHURRIED),
    ("silero", SileroDetector, UNHURRIED),
)


def table(part: str, studio: Studio) -> None:
    """Print what each detector does at each level."""
    made = list(streams(part, studio))
    print(f"{'detector':17} {'noise':6} {'one %':>6} {'split %':>8} {'missed %':>9} {'late':>5}"
          f" {'median s':>9} {'95 % s':>7}")  # fmt: skip
    for name, make, timing in WAYS:
        runs = [(each, flags_of(each.clip, make())) for each in made]
        for level in LEVELS:
            at = [(s, f) for s, f in runs if s.level == level and s.noise != "babble"]
            _row(name, level, scored(at, timing))
        _row(name, "babble", scored([r for r in runs if r[0].noise == "babble"], timing))
    print(
        "one: one whole segment; times: from the end of speech to the decision; babble: 20 to 5 dB"
    )


def _row(name: str, level: str, score: Score) -> None:
    def percent(some: int) -> str:
        return f"{100 * some / score.phrases:.1f}"

    delays = sorted(score.delays_s) or [float("nan")]
    print(f"{name:17} {level:6} {percent(score.one):>6} {percent(score.split):>8}"
          f" {percent(score.missed):>9} {score.late:>5} {statistics.median(delays):>9.2f}"
          f" {delays[int(0.95 * (len(delays) - 1))]:>7.2f}")  # fmt: skip


def false_starts(part: str, studio: Studio) -> None:
    """Print how often noise alone is taken for speech."""
    print("\nfalse starts a minute in noise alone (babble is speech, of others)")
    for name, make, timing in WAYS:
        row = []
        for kind in noises.KINDS:
            seed = np.random.RandomState(_SEEDS[part] + 50)
            sound = _noise(kind, _NOISE_ALONE_S * LISTEN_RATE_HZ, seed, part, studio)
            clip = clip_of(sound * 32_768 * 10 ** (-36 / 20), LISTEN_RATE_HZ)
            found = segments_of(flags_of(clip, make()), timing)
            row.append(f"{kind} {len(found) * 60 / _NOISE_ALONE_S:.0f}")
        print(f"{name:17} " + ", ".join(row))


# --- cost ---

_DETECTOR = """
import time
import numpy
from pathlib import Path
from voiceassist.recognise.{module} import {name}
def kb():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmRSS"))
before = kb()
detector = {name}()
frame = numpy.random.RandomState(1).randint(-900, 900, 480).astype("<i2").tobytes()
detector.is_speech(frame)
began = time.process_time()
for _ in range(3000): detector.is_speech(frame)
print((time.process_time() - began) / 3000 * 1e6, (kb() - before) / 1024)
"""

_EARS = """
import time
import numpy
from voiceassist.app.ears.capture import Capture, Wiring
from voiceassist.app.mouth.floor import Duplex, Floor
from voiceassist.app.timeline import RealTimeline
from voiceassist.devices.lasting import LastingMicrophone
from voiceassist.recognise.silero import SileroDetector
from voiceassist.sound.clip import Clip
from voiceassist.testing import FakeMicrophone
noise = numpy.random.RandomState(1).randint(-200, 200, 48_000 * 60).astype("<i2").tobytes()
detector, timeline = SileroDetector(), RealTimeline()
source = LastingMicrophone(FakeMicrophone([Clip(noise, 48_000)], chunk_s=0.01))
began = time.process_time()
floor = Floor(Duplex.HALF, 0.3, timeline.now_s)
capture = Capture(Wiring(source, detector, timeline, floor, on_level=lambda _: None))
while not capture.ended: time.sleep(0.05)
print((time.process_time() - began) / 60 * 100)
"""


def cost() -> None:
    """Print what listening costs, each in a fresh process."""
    print("\nprocessor time for a frame of 30 ms, and memory of the detector (Linux)")
    for module, name in (("detector", "VadDetector"), ("silero", "SileroDetector")):
        micros, megabytes = _printed(_DETECTOR.format(module=module, name=name))
        print(f"{name:15} {micros:5.0f} µs a frame, {megabytes:.0f} MB")
    (share,) = _printed(_EARS)
    print(f"the ears' whole thread, 48 kHz, nobody speaks: {share:.1f} % of one core (goal: 25 %)")


def _printed(code: str) -> list[float]:
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return list(map(float, done.stdout.split()))


# --- choosing ---


def choose(studio: Studio) -> None:
    """Print the settings that do best on the part ``fit``, the best first."""
    made = list(streams("fit", studio))
    detector = SileroDetector()
    likely = []
    for each in made:
        detector.reset()
        row = []
        for frame in frames([each.clip]):
            detector.is_speech(frame)
            row.append(detector.probability)
        likely.append(row)
    print("begin  go on  quiet  pre-roll   one %  in babble  delay s  lead s (5 %, median)")
    for begin, go_on in product((0.3, 0.4, 0.5, 0.6, 0.7, 0.8), (0.1, 0.15, 0.2, 0.3, 0.4, 0.5)):
        if go_on > begin:
            continue
        runs = [(s, _flags(p, begin, go_on)) for s, p in zip(made, likely, strict=True)]
        for quiet_s, pre_s in ((0.51, 0.36), (0.57, 0.36), (0.6, 0.36), (0.63, 0.36), (0.66, 0.36)):
            _choice(runs, begin, go_on, Timing(pre_roll_s=pre_s, quiet_s=quiet_s))


def _choice(runs: Sequence[tuple[Stream, Flags]], begin: float, go_on: float, how: Timing) -> None:
    plain = scored([r for r in runs if r[0].noise != "babble"], how)
    babble = scored([r for r in runs if r[0].noise == "babble"], how)
    (
        low,
        *_,
    ) = statistics.quantiles(plain.lead_s, n=20)
    print(
        f"{begin:5.2f}  {go_on:5.2f}  {how.quiet_s:5.2f}  {how.pre_roll_s:8.2f}"
        f"  {100 * plain.one / plain.phrases:6.1f}  {100 * babble.one / babble.phrases:9.1f}"
        f"  {statistics.median(plain.delays_s):7.2f}"
        f"  {low:.2f}, {statistics.median(plain.lead_s):.2f}"
    )


def _flags(likely: Sequence[float], begin: float, go_on: float) -> list[bool]:
    speech, flags = False, []
    for each in likely:
        speech = each >= (go_on if speech else begin)
        flags.append(speech)
    return flags


def main() -> None:
    """Print the tables."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--choose", action="store_true", help="try settings on the other half")
    arguments.add_argument("--part", default="kept", choices=tuple(PHRASES))
    arguments.add_argument("--voices", type=Path, default=Path(tempfile.gettempdir()) / "voices")
    given = arguments.parse_args()
    studio = Studio(given.voices)
    if given.choose:
        choose(studio)
        return
    table(given.part, studio)
    false_starts(given.part, studio)
    cost()


if __name__ == "__main__":
    main()
