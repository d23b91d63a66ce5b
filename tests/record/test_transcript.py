"""Transcripts: who said what and when, and what it was taken for, never surer than it was."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import pytest
from running import call

from voiceassist.devices.wav import read_clip
from voiceassist.record.entry import FIRST_PREV, Entry
from voiceassist.record.lines import Heard
from voiceassist.record.read_journal import verify
from voiceassist.record.said import (
    ASSISTANT,
    RECORD,
    TECHNICIAN,
    Cue,
    cues,
    meaning_words,
    understood,
)
from voiceassist.record.transcript import Transcript

VOLTS = {"kind": "reading", "value": "8.4", "unit": "V", "name": "", "text": ""}
MILLIVOLTS = {**VOLTS, "value": "84", "unit": "mV"}


def entries(*lines: Mapping[str, object]) -> list[Entry]:
    """Lines in a chain, a second apart unless they bring ``at``."""
    made: list[Entry] = []
    for number, line in enumerate(lines, 1):
        at = str(line.get("at") or f"2026-01-02T08:00:{number:02}.000+01:00")
        prev = made[-1].hash if made else FIRST_PREV
        made.append(Entry.made(line, seq=number, at=at, prev=prev))
    return made


def times(found: Sequence[Cue]) -> list[tuple[float, float]]:
    return [(cue.start_s, cue.end_s) for cue in found]


SESSION = {
    "event": "session",
    "title": "A lamp <does> not light",
    "procedure": "lamp",
    "text": "A lamp",
    "facts": {"repair order": "1042"},
}


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        ({"meanings": [VOLTS]}, "understood as 8.4 V"),
        ({"meanings": [VOLTS], "probability": 0.98}, "understood as 8.4 V, probability 0.98"),
        ({"meanings": [VOLTS, MILLIVOLTS]}, "could be 8.4 V or 84 mV"),
        ({"meanings": VOLTS}, "understood as 8.4 V"),
        ({"meanings": [{**VOLTS, "correction": True}]}, "understood as correction to 8.4 V"),
        ({"meanings": [{"kind": "command", "name": "say-again"}]}, "understood as say again"),
        ({"meanings": [{"kind": "over_range"}]}, "understood as over range"),
        ({"meanings": [{"kind": "spread", "low": MILLIVOLTS, "high": VOLTS}]},
         "understood as 84 mV to 8.4 V"),
        ({"meanings": [{"kind": "series", "readings": [VOLTS, MILLIVOLTS]}]},
         "understood as 8.4 V, 84 mV"),
        ({"meanings": [{**VOLTS, "value": "12.60"}]}, "understood as 12.60 V"),
        ({"meanings": []}, "not understood"),
        ({}, "not understood"),
        ({"meanings": [], "reason": "no unit"}, "not understood: no unit"),
    ],
)  # fmt: skip
def test_what_was_heard_is_shown_no_surer_than_it_was(
    line: Mapping[str, object], shown: str
) -> None:
    assert understood(Heard({"event": "heard", **line})) == shown


def test_everything_with_words_is_a_cue_of_its_speaker() -> None:
    found = cues(
        entries(
            SESSION,
            {"event": "say", "text": "Hello."},
            {"event": "heard", "words": "eight point four volts", "meanings": [VOLTS]},
            {"event": "heard", "words": "", "reason": "no speech"},
            {"event": "condition", "text": "", "met": True},
            {"event": "repaired", "bytes": 7, "kept_in": "journal.jsonl.torn-6"},
            {"event": "a kind of next year", "text": "Something new."},
        )
    )
    assert [(cue.who, cue.text) for cue in found] == [
        (ASSISTANT, "Hello."),
        (TECHNICIAN, "eight point four volts"),
        (TECHNICIAN, "(no words)"),
        (RECORD, "The record breaks off here; 7 bytes that were not whole are kept in"
         " journal.jsonl.torn-6."),
        (ASSISTANT, "Something new."),
    ]  # fmt: skip


def test_a_meaning_that_tells_nothing_has_no_words() -> None:
    assert meaning_words({}) == meaning_words({"kind": "", "name": ""}) == ""


def test_cues_with_sound_are_where_the_sound_is() -> None:
    found = cues(
        entries(
            SESSION,
            {"event": "say", "text": "One.", "start_s": 0.5, "end_s": 1.25},
            {"event": "heard", "words": "two", "start_s": 1, "end_s": 1},
        )
    )
    assert times(found) == [(0.5, 1.25), (1.0, 2.0)]


@pytest.mark.parametrize(("end", "shown"), [(1.0009, 2.0006), (1.002, 1.002)])
def test_a_cue_that_would_end_in_the_millisecond_it_begins_in_is_shown_for_a_second(
    end: float, shown: float
) -> None:
    found = cues(entries({"event": "say", "text": "One.", "start_s": 1.0006, "end_s": end}))
    assert times(found) == [(1.0006, shown)]


def test_cues_without_sound_are_placed_by_the_clock() -> None:
    assert times(cues(entries({"event": "say", "text": "At once."}))) == [(0.0, 1.0)]
    found = cues(entries(SESSION, {"event": "say", "text": "One."}, {"event": "say", "text": "2."}))
    assert times(found) == [(1.0, 2.0), (2.0, 3.0)]


def test_the_night_between_a_break_and_the_resumption_is_not_part_of_the_session() -> None:
    found = cues(
        entries(
            SESSION,
            {"event": "heard", "words": "one", "start_s": 4.0, "end_s": 5.0},
            {"event": "say", "text": "Going on.", "at": "2026-01-03T07:00:00+01:00"},
            {"event": "heard", "words": "two", "start_s": 6.0, "end_s": 7.0},
        )
    )
    assert [cue.text for cue in found] == ["one", "Going on.", "two"]
    assert times(found)[1][0] == 6.0


def test_a_clock_set_back_does_not_turn_the_order_round() -> None:
    lines: list[Mapping[str, object]] = [
        SESSION,
        {"event": "say", "text": "One."},
        {"event": "say", "text": "Two.", "at": "2026-01-02T07:00:00+01:00"},
        {"event": "say", "text": "Three."},
    ]
    assert [cue.text for cue in cues(entries(*lines))] == ["One.", "Two.", "Three."]


@pytest.mark.parametrize(("start_s", "end_s"), [(2.0, 2.0), (3.0, 2.0), (-1.0, 1.0)])
def test_a_cue_ends_after_it_begins(start_s: float, end_s: float) -> None:
    with pytest.raises(ValueError, match="cannot last"):
        Cue(ASSISTANT, "x", start_s, end_s)


def test_plain_text_tells_time_speaker_words_and_meaning() -> None:
    made = entries(
        SESSION,
        {"event": "ask", "text": "Measure.", "start_s": 0.0, "end_s": 1.0},
        {"event": "heard", "words": "eight point four", "meanings": [VOLTS, MILLIVOLTS],
         "start_s": 1.5, "end_s": 2.75},
        {"event": "ask", "text": "Volts or millivolts?", "start_s": 3.0, "end_s": 4.0},
    )  # fmt: skip
    assert Transcript(made).plain_text() == (
        "A lamp <does> not light (lamp)\n"
        "repair order: 1042\n"
        "begun: 2026-01-02T08:00:01.000+01:00\n"
        f"journal: 4 lines, last SHA-256 {made[-1].hash}\n"
        "00:00:00.000  Assistant   Measure.\n"
        "\n"
        "00:00:01.500  Technician  eight point four\n"
        "                          (could be 8.4 V or 84 mV)\n"
        "00:00:03.000  Assistant   Volts or millivolts?\n"
    )


def test_the_webvtt_file_carries_the_job_and_the_last_hash_in_a_note() -> None:
    made = entries(SESSION, {"event": "say", "text": "Hello."})
    note = Transcript(made).webvtt().split("\n\n")[1]
    assert note.startswith("NOTE\nA lamp <does> not light (lamp)\nrepair order: 1042\n")
    assert note.endswith(f"last SHA-256 {made[-1].hash}")


def test_what_the_record_tells_of_itself_is_not_a_voice() -> None:
    made = entries(SESSION, {"event": "repaired", "bytes": 7, "kept_in": "x"})
    assert "-->" not in Transcript(made).webvtt()
    assert "Record      The record breaks off here" in Transcript(made).plain_text()


def test_nothing_comes_of_an_empty_journal() -> None:
    assert cues([]) == ()
    assert Transcript([]).plain_text() == ""
    assert Transcript([]).webvtt() == "WEBVTT\n"


# --- against the sound itself ---

CLIPS = sorted((Path(__file__).parents[2] / "audio_fixtures" / "demo").glob("0[1-5]-*.wav"))
#: Louder than silence, for a frame of the made voice; it has no noise of its own.
_LOUD = 60.0
#: Cues may be off by so much.
_NEAR_S = 0.1
#: A frame counts as within a cue when all of it is: the answer may begin in the middle of one.
_HALF_FRAME_S = 0.005


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> tuple[tuple[Cue, ...], Path]:
    """The cues of a session that heard the first clips of the demo, and its answers as sound."""
    folder = tmp_path_factory.mktemp("spoken")
    done = call(
        *("run", "heater-fan-module", "--listener", "sphinx", "--records", str(folder / "records")),
        *("--voice-out", str(folder / "answers.wav"), "--audio", *map(str, CLIPS)),
    )
    assert done.returncode in {0, 1}, done.stderr
    (session,) = (path for path in (folder / "records").iterdir() if path.is_dir())
    return cues(verify(session / "journal.jsonl").entries), folder / "answers.wav"


def loud_s(path: Path) -> list[float]:
    """Middles of the frames of about 10 ms that are not silent, in seconds."""
    clip = read_clip(path)
    size = clip.rate_hz // 100
    samples = np.frombuffer(clip.pcm, "<i2").astype(float)
    frames = samples[: len(samples) // size * size].reshape(-1, size)
    loud = np.flatnonzero(np.sqrt((frames**2).mean(axis=1)) > _LOUD)
    return [float(frame + 0.5) * size / clip.rate_hz for frame in loud]


@pytest.mark.slow
def test_what_the_assistant_says_is_where_its_sound_is(
    spoken: tuple[tuple[Cue, ...], Path],
) -> None:
    found, answers = spoken
    loud = loud_s(answers)
    said = [cue for cue in found if cue.who == ASSISTANT]
    assert len(said) > 8
    for cue in said:
        middle = (cue.start_s + cue.end_s) / 2
        inside = [at for at in loud if cue.start_s - 0.15 <= at <= cue.end_s + 0.15]
        assert inside, cue
        assert abs(inside[0] - cue.start_s) <= _NEAR_S, cue
        assert abs(inside[-1] - cue.end_s) <= _NEAR_S, cue
        assert inside[0] < middle < inside[-1]


@pytest.mark.slow
def test_what_was_heard_is_as_long_as_its_clip_and_nobody_speaks_over_it(
    spoken: tuple[tuple[Cue, ...], Path],
) -> None:
    found, answers = spoken
    loud = loud_s(answers)
    heard = [cue for cue in found if cue.who == TECHNICIAN]
    assert [cue.text for cue in heard][:2] == ["affirm", "twelve point eight volts"]
    for cue, path in zip(heard, CLIPS, strict=True):
        clip = read_clip(path)
        assert abs(cue.end_s - cue.start_s - clip.seconds) <= _NEAR_S, cue
        inside = (cue.start_s + _HALF_FRAME_S, cue.end_s - _HALF_FRAME_S)
        assert not [at for at in loud if inside[0] <= at <= inside[1]]


def test_what_was_added_later_and_what_was_wished_are_told_as_such() -> None:
    added = {"event": "addendum", "words": "it came back", "by": "Kim"}
    (cue,) = cues(entries(added))
    assert (cue.who, cue.text) == (RECORD, "Added later by Kim: it came back")
    wish = {"kind": "answer", "name": "wish 3"}
    assert understood(Heard({"event": "heard", "meanings": [wish]})) == (
        "meant for the simulated vehicle"
    )


def test_a_journal_without_title_procedure_or_facts_still_has_a_head() -> None:
    made = entries({"event": "session", "facts": 3})
    assert Transcript(made).plain_text() == (
        "(no procedure)\n"
        "begun: 2026-01-02T08:00:01.000+01:00\n"
        f"journal: 1 lines, last SHA-256 {made[0].hash}\n"
    )
    assert Transcript(made).read.head.title == ""


def test_what_words_were_taken_for_stands_below_them_in_the_webvtt_file() -> None:
    heard = {"event": "heard", "words": "eight <four>", "meanings": [VOLTS], "start_s": 1.0,
             "end_s": 2.0}  # fmt: skip
    assert Transcript(entries(SESSION, heard)).webvtt().split("\n\n")[2] == (
        "1\n00:00:01.000 --> 00:00:02.000\n<v Technician>eight &lt;four&gt;\n"
        "(understood as 8.4 V)\n"
    )
