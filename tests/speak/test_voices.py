"""Both voices, for real."""

import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from voiceassist.devices.wav import read_clip
from voiceassist.errors import SpeakError
from voiceassist.sound.clip import Clip
from voiceassist.sound.level import level_of
from voiceassist.speak import espeak, pyttsx3_voice
from voiceassist.speak.base import Voice
from voiceassist.speak.child import Child
from voiceassist.speak.choose import choose_voice
from voiceassist.speak.espeak import EspeakVoice
from voiceassist.speak.pyttsx3_voice import Pyttsx3Voice

pytestmark = pytest.mark.usefixtures("espeak_ng")

SENTENCE = "Twelve point six volts. The battery passes. Next, turn the key to run."
#: Takes espeak-ng about a third of a second, pyttsx3 several.
LONG = "twelve volts. " * 600
both = pytest.mark.parametrize("make", [EspeakVoice, Pyttsx3Voice])
Make = Callable[..., Voice]


def own_sound(text: str, folder: Path, voice: str, rate_wpm: int = 160) -> Clip:
    """What espeak-ng itself writes into a file for the text."""
    file = folder / "own.wav"
    command = ["espeak-ng", "-v", voice, "-s", str(rate_wpm), "-w", str(file), "--stdin"]
    subprocess.run(command, input=text.encode(), check=True)
    return read_clip(file)


@pytest.mark.parametrize("text", [SENTENCE, "-5 volts", "-h", "μ, Ω and °", "why"])
def test_espeak_gives_every_sample_that_the_program_writes_into_a_file(
    tmp_path: Path, text: str
) -> None:
    assert EspeakVoice("en-us").synthesise(text) == own_sound(text, tmp_path, "en-us")


@pytest.mark.parametrize("text", [SENTENCE, "-5 volts", "why"])
def test_pyttsx3_speaks_the_whole_sentence(tmp_path: Path, text: str) -> None:
    # Its pauses at the end differ from the program's.
    own = own_sound(text, tmp_path, "en-us").seconds
    assert Pyttsx3Voice("en-us").synthesise(text).seconds == pytest.approx(own, rel=0.05, abs=0.1)


@both
def test_more_words_last_longer_by_the_length_of_the_words(make: Make) -> None:
    voice = make()
    seconds = [voice.synthesise(" ".join(["volts"] * n)).seconds for n in (1, 10, 20, 40)]
    assert seconds == sorted(seconds)
    assert seconds[3] - seconds[2] == pytest.approx(2 * (seconds[2] - seconds[1]), rel=0.15)


@both
def test_many_sentences_in_turn_are_all_spoken_alike(make: Make) -> None:
    voice = make()
    lengths = [voice.synthesise(SENTENCE).samples for _ in range(4)]
    assert len(set(lengths)) == 1


def test_pyttsx3_waits_for_an_engine_that_takes_its_settings_late(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a busy machine the engine still has the rate to take when pyttsx3 cancels its work."""
    here, slowly = Pyttsx3Voice(), tmp_path / "sitecustomize.py"
    slowly.write_text(LATE, encoding="utf-8")
    in_time = here.synthesise(SENTENCE).samples
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    assert here.synthesise(SENTENCE).samples == in_time


#: Stands before the real engine: settings come to it 0.3 s late, and not at all once cancelled.
LATE = """
import threading
from pyttsx3.drivers import _espeak

real, cancel, waiting = _espeak.SetParameter, _espeak.Cancel, []

def take():
    while waiting:
        real(*waiting.pop(0))

def late(*setting):
    if not waiting:
        threading.Timer(0.3, take).start()
    waiting.append(setting)

def cancelled():
    waiting.clear()
    return cancel()

_espeak.SetParameter, _espeak.Cancel = late, cancelled
_espeak.IsPlaying = lambda: bool(waiting)
"""


@both
def test_speech_can_be_heard_and_is_not_cut_off_at_full_scale(make: Make) -> None:
    level = level_of(make().synthesise(SENTENCE))
    assert -30 < level.rms_dbfs < -10
    assert level.clipped < 0.001


@both
@pytest.mark.parametrize("text", ["", "   ", "\n\t", "\0"])
def test_nothing_to_say_gives_no_sound(make: Make, text: str) -> None:
    assert make().synthesise(text).samples == 0


@pytest.mark.slow
@both
def test_a_very_long_text_is_spoken_to_its_end(make: Make, tmp_path: Path) -> None:
    text = "twelve volts. " * 500
    own = own_sound(text, tmp_path, "en-us").seconds
    assert make("en-us").synthesise(text).seconds == pytest.approx(own, rel=0.05)


def test_a_text_that_crashes_the_engine_of_pyttsx3_is_reported() -> None:
    with pytest.raises(SpeakError, match="say less at a time"):
        Pyttsx3Voice().synthesise("volts " * 100_000)


def test_double_brackets_are_text_to_espeak_not_phoneme_names() -> None:
    # As phoneme names [[ti]] is one short syllable.
    bracketed = EspeakVoice().synthesise("[[twelve volts]]").seconds
    plain = EspeakVoice().synthesise("twelve volts").seconds
    assert bracketed == pytest.approx(plain, rel=0.25)


@both
def test_an_unknown_voice_is_reported(make: Make) -> None:
    with pytest.raises(SpeakError, match=r"choose a voice|check its voice"):
        make("xyzzy").synthesise("hello")


def test_a_missing_espeak_names_the_package_to_install() -> None:
    with pytest.raises(SpeakError, match="install the package espeak-ng"):
        EspeakVoice(program="no-such-program").synthesise("hello")


@both
def test_cancel_ends_a_long_synthesis_at_once(
    make: Callable[[], EspeakVoice | Pyttsx3Voice],
) -> None:
    voice = make()
    given: list[Clip] = []
    talker = threading.Thread(target=lambda: given.append(voice.synthesise(LONG)))
    talker.start()
    due = time.monotonic() + 5
    while voice._child._process is None:
        assert time.monotonic() < due, "it does not begin"
        time.sleep(0.005)
    time.sleep(0.1)
    assert talker.is_alive()
    began = time.monotonic()
    voice.cancel()
    talker.join()
    assert time.monotonic() - began < 0.15
    assert given == [Clip(b"")]


@both
def test_a_cancel_when_nothing_is_spoken_does_no_harm(make: Make) -> None:
    voice = make()
    voice.cancel()
    assert voice.synthesise("hello").samples > 0
    voice.cancel()
    voice.close()
    assert voice.synthesise("hello").samples > 0


@pytest.mark.parametrize(("make", "module"), [(EspeakVoice, espeak), (Pyttsx3Voice, pyttsx3_voice)])
def test_a_synthesis_that_takes_too_long_is_ended_and_reported(
    make: Make, module: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "TIMEOUT_S", 0.2)
    began = time.monotonic()
    with pytest.raises(SpeakError, match=r"did not finish within 0\.2 s"):
        make().synthesise(LONG)
    assert time.monotonic() - began < 1.0


@both
@pytest.mark.parametrize(("change", "longer"), [("slower", True), ("faster", False)])
def test_a_change_of_pace_is_heard_in_the_next_sentence(
    make: Make, change: str, longer: bool
) -> None:
    voice = make()
    before = voice.synthesise(SENTENCE).seconds
    voice.adjust(change)
    assert (voice.synthesise(SENTENCE).seconds > before) is longer


@both
@pytest.mark.parametrize(("change", "louder"), [("louder", True), ("softer", False)])
def test_a_change_of_loudness_is_heard_in_the_next_sentence(
    make: Make, change: str, louder: bool
) -> None:
    voice = make()
    before = level_of(voice.synthesise(SENTENCE)).rms_dbfs
    voice.adjust(change)
    assert (level_of(voice.synthesise(SENTENCE)).rms_dbfs > before) is louder


@both
@pytest.mark.parametrize("change", ["slower", "faster", "louder", "softer"])
def test_any_number_of_changes_leaves_a_voice_that_speaks(make: Make, change: str) -> None:
    voice = make()
    for _ in range(30):
        voice.adjust(change)
    assert voice.synthesise("hello").samples > 0


@both
def test_a_change_of_another_kind_is_misuse(make: Make) -> None:
    with pytest.raises(ValueError, match="purple"):
        make().adjust("purple")


@pytest.mark.parametrize(
    ("name", "platform", "expected"),
    [
        ("", "linux", "espeak"),
        ("", "win32", "pyttsx3"),
        ("", "darwin", "pyttsx3"),
        ("espeak", "win32", "espeak"),
        ("pyttsx3", "linux", "pyttsx3"),
    ],
)
def test_a_voice_is_chosen_by_name_or_by_the_platform(
    name: str, platform: str, expected: str
) -> None:
    voice = choose_voice(name, platform=platform)
    assert voice is not None
    assert voice.name == expected


def test_none_is_no_voice() -> None:
    assert choose_voice("none") is None


def test_an_unknown_engine_lists_those_there_are() -> None:
    with pytest.raises(SpeakError, match="espeak, pyttsx3, none"):
        choose_voice("parrot")


@pytest.mark.parametrize("rate_wpm", [0, 79, 301])
def test_a_rate_that_cannot_be_spoken_is_refused(rate_wpm: int) -> None:
    with pytest.raises(SpeakError, match=f"{rate_wpm} words a minute"):
        choose_voice("espeak", rate_wpm)


def test_a_volume_is_heard(espeak_ng: str) -> None:
    loud, soft = (choose_voice("espeak", volume=volume) for volume in (100, 50))
    assert loud is not None
    assert soft is not None
    peaks = [level_of(voice.synthesise("That is good.")).peak_dbfs for voice in (loud, soft)]
    assert peaks[0] - peaks[1] == pytest.approx(6.0, abs=1.5)


@pytest.mark.parametrize("volume", [29, 201])
def test_a_volume_that_cannot_be_spoken_is_refused(volume: int) -> None:
    with pytest.raises(SpeakError, match=f"a volume of {volume} %"):
        choose_voice("espeak", volume=volume)


def test_an_engines_own_voice_is_named_behind_a_colon(espeak_ng: str) -> None:
    american, british = (choose_voice(name) for name in ("espeak:en-us", "espeak:en-gb"))
    assert american is not None
    assert british is not None
    assert american.synthesise("half past") != british.synthesise("half past")
    unknown = choose_voice("espeak:klingon-nn")
    assert unknown is not None
    with pytest.raises(SpeakError, match="cannot speak as 'klingon-nn'"):
        unknown.synthesise("hello")


@pytest.mark.skipif(sys.platform == "win32", reason="process groups are of POSIX")
def test_what_a_speech_program_started_ends_with_it(tmp_path: Path) -> None:
    """The program itself ends at once; the player it left behind does not outlive it."""
    left = tmp_path / "left"
    script = f"sleep 60 >/dev/null 2>&1 & echo $! > {left}"
    Child().run(("sh", "-c", script), b"", 5.0, "install sh")
    state = Path(f"/proc/{int(left.read_text())}/stat")
    due = time.monotonic() + 2
    while state.exists() and ") Z" not in state.read_text() and time.monotonic() < due:
        time.sleep(0.01)
    assert not state.exists() or ") Z" in state.read_text()
