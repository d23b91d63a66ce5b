"""The loop: what is heard is kept before it is answered, and what is kept is what was said."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import languages
import pytest

from voiceassist import resources
from voiceassist.app.ears.base import ClipEars
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import judged
from voiceassist.app.ears.typed import TypedEars
from voiceassist.app.live.instructor import QUIET, InstructorNotes
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts
from voiceassist.app.live.replay import replayed
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.doubt.evidence import ClipFacts
from voiceassist.errors import SpeakError
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Identifier
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.procedure.read import read_procedure
from voiceassist.recognise.base import Candidate, HeardClip, Nothing
from voiceassist.record.instructor import NOTE, leave, note_of
from voiceassist.record.lines import Line, SessionLine
from voiceassist.session.engine import Engine
from voiceassist.session.session import SessionSetup
from voiceassist.session.states import State
from voiceassist.sound.clip import Clip
from voiceassist.testing import CapturingVoice, FixedTimeline, MemoryKeeper, ScriptedListener

FILES = resources.grammar_files("en")
LANGUAGE = languages.shipped()
BOOK = Phrasebook.load(FILES["sentences.toml"], LANGUAGE.say)
FAN = (Path(__file__).parents[2] / "procedures" / "heater-fan-module.yaml").read_text("utf-8")
OPENING = ["affirm", "done", "twelve point six volts"]


class Stage:
    """A whole session on stand-ins for the outside world."""

    def __init__(self, said: Iterable[str | Nothing], *, typed: bool = False) -> None:
        self.said = list(said)
        self.timeline = FixedTimeline()
        self.keeper = MemoryKeeper()
        self.voice = CapturingVoice()
        self.warnings: list[str] = []
        self.engine = Engine(SessionSetup(read_procedure(FAN, "fan"), BOOK))
        self.listener = ScriptedListener(self.said)
        self.shown: list[Line] = []
        self.mouth = Mouth(self.voice, LANGUAGE.spoken, None, self.timeline, self.warnings.append)
        self.loop = Loop(self.parts(typed=typed))

    def parts(self, *, typed: bool) -> Parts:
        clips = [Clip.silence(1.0) for _ in self.said]
        ears = (
            TypedEars([str(line) for line in self.said], self.timeline)
            if typed
            else ClipEars(clips, Hearing(self.listener), self.timeline, gap_s=0.4)
        )
        return Parts(
            engine=self.engine,
            language=LANGUAGE,
            ears=ears,
            mouth=self.mouth,
            keeper=self.keeper,
            timeline=self.timeline,
            show=self.shown.append,
            record="somewhere",
        )

    def play(self) -> "Stage":
        self.loop.begin({"vehicle": "number 7"})
        self.loop.run()
        return self

    def events(self, kind: str) -> list[Line]:
        return [line for line in self.keeper.lines if line["event"] == kind]


def test_a_heard_reading_is_kept_with_its_words_meaning_and_place() -> None:
    stage = Stage(OPENING).play()
    heard = stage.events("heard")[-1]
    assert heard["words"] == "twelve point six volts"
    assert heard["step"] == "battery"
    assert heard["certain"] is False
    assert heard["listener"] == "scripted"
    assert float(str(heard["end_s"])) - float(str(heard["start_s"])) == pytest.approx(1.0)


def test_what_is_heard_is_kept_before_what_it_leads_to() -> None:
    stage = Stage(OPENING).play()
    kinds = [line["event"] for line in stage.keeper.lines]
    assert kinds.index("heard") < kinds.index("acknowledged")
    assert kinds.index("reading") < kinds.index("verdict")


def test_every_line_is_kept_before_it_is_spoken() -> None:
    order: list[str] = []
    stage = Stage(OPENING)

    class Watching(MemoryKeeper):
        def keep(self, lines: Sequence[Line]) -> Sequence[Line]:
            order.extend(f"kept {line['text']}" for line in lines if line.get("text"))
            return super().keep(lines)

    class Speaking:
        def play(self, clip: Clip) -> float:
            order.append("played")
            return clip.seconds

        def stop(self) -> None:
            """Nothing is cut here."""

        def close(self) -> None:
            """Nothing is held."""

    stage.mouth._player = Speaking()
    object.__setattr__(stage.loop._parts, "keeper", Watching())
    stage.play()
    first_played = order.index("played")
    assert any(entry.startswith("kept Heater fan") for entry in order[:first_played])
    assert any(entry.startswith("kept Say affirm") for entry in order[:first_played])


def test_numbers_and_units_reach_the_voice_as_words() -> None:
    stage = Stage(OPENING).play()
    assert "Twelve point six volts." in [s[:1].upper() + s[1:] for s in stage.voice.sentences]
    assert not any(any(c.isdigit() for c in sentence) for sentence in stage.voice.sentences)


def test_spoken_lines_follow_each_other_on_the_clock() -> None:
    stage = Stage(OPENING).play()
    places = [
        (float(str(line["start_s"])), float(str(line["end_s"])))
        for line in stage.keeper.lines
        if "start_s" in line
    ]
    assert places == sorted(places)
    assert all(before[1] <= after[0] + 1e-6 for before, after in pairwise(places))


def test_when_the_input_ends_the_session_stays_open() -> None:
    stage = Stage(OPENING).play()
    assert stage.loop.outcome == ""
    assert stage.loop.session.step == "feed"


def test_a_typed_line_is_certain() -> None:
    lines = ["affirm", "done", "8.4", "eight point four volts", "negative"]
    stage = Stage(lines, typed=True).play()
    assert stage.loop.outcome == "found"
    assert stage.events("heard")[-1]["certain"] is True
    assert stage.events("end")[-1]["record"] == "somewhere"


def test_a_clip_without_speech_is_answered_and_changes_nothing() -> None:
    stage = Stage(["affirm", Nothing.NO_SPEECH]).play()
    assert stage.loop.session.step == "battery"
    assert "I heard no speech in that." in stage.voice.sentences


def test_a_spoken_note_keeps_its_sound_and_its_words_are_not_verified() -> None:
    stage = Stage([*OPENING, "note", "twelve point six volts"]).play()
    (note,) = stage.events("note")
    assert (note["words"], note["verified"]) == ("twelve point six volts", False)
    heard = stage.events("heard")[-1]
    assert stage.keeper.sounds[str(heard["sound"])] == Clip.silence(1.0)
    assert stage.loop.session.step == "feed"


def test_the_words_of_a_typed_note_are_taken_for_a_note() -> None:
    stage = Stage([*OPENING, "note", "the bracket is loose"], typed=True).play()
    (note,) = stage.events("note")
    assert (note["words"], note["verified"]) == ("the bracket is loose", True)
    meanings: Any = stage.events("heard")[-1]["meanings"]
    (understood_as,) = meanings
    assert (understood_as["kind"], understood_as["text"]) == ("note", "the bracket is loose")


def test_a_lower_candidate_whose_check_digit_fits_is_taken_for_a_vehicle_number() -> None:
    # 49 CFR 565.15 table V: the sample number, and one heard with a wrong digit.
    spell = LANGUAGE.say(Identifier("vin", "1G4AH59H45G118341"))
    wrong = LANGUAGE.say(Identifier("vin", "1G4AH59H55G118341"))
    heard = HeardClip("scripted", (Candidate(wrong, 0.0), Candidate(spell, -5.0)))
    grammar = LANGUAGE.compose(Expectation(identifier="vin"))
    best = judged(heard, grammar, ClipFacts(30.0, 1.0), None).guesses[0]
    assert best.meanings == (Identifier("vin", "1G4AH59H45G118341"),)


def test_without_a_voice_the_session_goes_on_in_text_and_says_so_once() -> None:
    stage = Stage(OPENING)

    def fail(sentence: str) -> Clip:
        raise SpeakError("espeak-ng is missing", remedy="install the package espeak-ng")

    stage.voice.synthesise = fail  # type: ignore[method-assign]
    stage.play()
    assert stage.loop.session.step == "feed"
    assert len(stage.warnings) == 1
    assert "goes on in text" in stage.warnings[0]


def test_slower_reaches_the_voice() -> None:
    assert Stage(["speak slower"]).play().voice.adjusted == ["slower"]


@pytest.mark.parametrize("kept", range(1, 33))
def test_a_session_cut_anywhere_is_rebuilt_from_what_was_kept(kept: int) -> None:
    said = [
        *OPENING,
        "correction twelve point five volts",
        "affirm",
        "done",
        "eight point four volts",
    ]
    stage = Stage(said).play()
    lines = [SessionLine.made(facts={"vehicle": "number 7"}), *stage.keeper.lines]
    back = replayed(stage.engine, lines[:kept])
    heard = sum(line["event"] == "heard" for line in lines[:kept])
    again = Stage(said[:heard]).play()
    assert back.session == again.loop.session
    texts = [
        str(line.get("text")) for line in lines[:kept] if line["event"] not in {"session", "heard"}
    ]
    texts += [output.text for output in back.unkept]
    assert texts == [
        str(line.get("text")) for line in again.keeper.lines if line["event"] != "heard"
    ]


# --- the instructor's note ---


def staged(folder: Path, *said: str) -> Stage:
    stage = Stage(said, typed=True)
    notes = InstructorNotes()
    notes.use(folder, [])
    stage.loop = Loop(replace(stage.parts(typed=True), notes=notes))
    return stage


def test_it_is_kept_and_spoken_at_the_next_pause_and_changes_nothing(tmp_path: Path) -> None:
    note = note_of("Jo", "look at the plug")
    leave(tmp_path, note)
    with_note, without = (
        staged(tmp_path, *OPENING).play(),
        Stage(OPENING, typed=True).play(),
    )
    (line,) = with_note.events("instructor-note")
    assert {name: line[name] for name in ("by", "words", "note")} == {
        "by": "Jo", "words": "look at the plug", "note": note.id,
    }  # fmt: skip
    assert line["text"] == "Note from Jo: look at the plug"
    assert "Note from Jo: look at the plug" in with_note.voice.sentences
    assert not (tmp_path / NOTE).exists()
    others = [
        line["event"] for line in with_note.keeper.lines if line["event"] != "instructor-note"
    ]
    assert others == [line["event"] for line in without.keeper.lines]
    here, there = with_note.loop.session, without.loop.session
    assert (here.state, here.step, here.conditions) == (there.state, there.step, there.conditions)
    assert [one.outcome for one in here.ledger] == [one.outcome for one in there.ledger]


def test_nothing_comes_between_a_caution_and_its_acknowledgment(tmp_path: Path) -> None:
    leave(tmp_path, note_of("Jo", "look at the plug"))
    stage = staged(tmp_path, *OPENING).play()
    kinds = [str(line["event"]) for line in stage.keeper.lines]
    assert kinds.index("caution") < kinds.index("acknowledged") < kinds.index("instructor-note")
    assert {State.CAUTION, State.STAND_BY} <= QUIET
