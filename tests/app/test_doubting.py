"""What was heard is weighed, and the session gets it accepted, doubtful, or not at all."""

from collections.abc import Sequence
from decimal import Decimal

import languages
import pytest
from bench import FAN, FINDINGS, HEAD

from voiceassist import resources
from voiceassist.app.build import alikes
from voiceassist.app.ears.base import ClipEars
from voiceassist.app.ears.hearing import Hearing
from voiceassist.app.ears.judgement import judged
from voiceassist.app.live.loop import Loop
from voiceassist.app.live.parts import Parts
from voiceassist.app.live.replay import replayed
from voiceassist.app.mouth.mouth import Mouth
from voiceassist.doubt.costs import Costs
from voiceassist.doubt.evidence import ClipFacts
from voiceassist.doubt.odds import Odds
from voiceassist.doubt.policy import Accept, AskAmong, Decision, Reject
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Reading
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.measure.units import unit
from voiceassist.procedure.read import read_procedure
from voiceassist.recognise.base import Candidate, HeardClip, ListenerGrammar
from voiceassist.record.lines import Line, typed
from voiceassist.session.engine import Engine
from voiceassist.session.session import SessionSetup
from voiceassist.session.states import State
from voiceassist.sound.clip import Clip
from voiceassist.testing import CapturingVoice, FixedTimeline, MemoryKeeper

FILES = resources.grammar_files("en")
LANGUAGE = languages.shipped()
BOOK = Phrasebook.load(
    FILES["sentences.toml"], LANGUAGE.say, lambda meaning: LANGUAGE.say(meaning, singly=True)
)

#: One listener, whose scores are to be believed as they are.
BELIEVED = Odds(1.0, 0.0, Costs(20.0, 80.0, 0.5, 0.02))
SURE, CLOSE = 900.0, 0.01


class Scored:
    """Hears scripted candidates: words with their distance behind the best, which is clear."""

    name = "scripted"

    def __init__(self, script: Sequence[tuple[dict[str, float], float]]) -> None:
        self._script = iter(script)

    def prepare(self, grammar: ListenerGrammar) -> None:
        """Nothing to do."""

    def hear(self, clip: Clip) -> HeardClip:
        """The next line of the script."""
        behind, none = next(self._script)
        candidates = tuple(Candidate(words, -score) for words, score in behind.items())
        best = next(iter(behind))
        return HeardClip(self.name, candidates, none_of_these=-none, spelled=best)

    def close(self) -> None:
        """Nothing is held."""


def sure(words: str) -> tuple[dict[str, float], float]:
    return {words: 0.0}, SURE


def play(
    *script: tuple[dict[str, float], float], text: str = FAN
) -> tuple[Loop, list[Line], Engine]:
    engine = Engine(SessionSetup(read_procedure(text, "fan"), BOOK))
    timeline, shown = FixedTimeline(), []  # type: ignore[var-annotated]
    clips = [Clip.silence(1.0) for _ in script]
    hearing = Hearing(Scored(script), {"scripted": BELIEVED}, alikes(LANGUAGE))
    parts = Parts(
        engine=engine,
        language=LANGUAGE,
        ears=ClipEars(clips, hearing, timeline),
        mouth=Mouth(CapturingVoice(), LANGUAGE.spoken, None, timeline, lambda _: None),
        keeper=MemoryKeeper(),
        timeline=timeline,
        show=shown.append,
    )
    loop = Loop(parts)
    loop.begin({})
    loop.run()
    return loop, shown, engine


OPENING = (sure("affirm"), sure("done"))


def last_heard(lines: Sequence[Line]) -> Line:
    return [line for line in lines if line["event"] == "heard"][-1]


def test_what_is_sure_is_taken() -> None:
    loop, lines, _ = play(*OPENING, sure("twelve point six volts"))
    assert loop.session.step == "feed"
    heard = last_heard(lines)
    assert heard["decision"] == "accept"
    assert isinstance(heard["probability"], float)
    assert heard["probability"] > 0.9


def test_two_readings_that_lead_elsewhere_are_asked_about() -> None:
    close = {"twelve point six volts": 0.0, "eleven point six volts": CLOSE}
    loop, lines, _ = play(*OPENING, (close, SURE))
    assert loop.session.state is State.WHICH
    assert last_heard(lines)["decision"] == "ask"
    asked = [line for line in lines if line["event"] == "ask"][-1]
    assert "12.6 V, or 11.6 V" in str(asked["text"])


AT_THE_COMMAND = (
    *OPENING,
    *map(sure, ("twelve point six volts", "affirm", "twelve point five volts", "bright", "bright")),
    *map(sure, ("zero point zero five volts", "done")),
)
#: Seven in eight, and one in eight.
_DOUBTED = {"eight point four volts": 0.0, "eight point five volts": 2.0}


def test_of_two_that_come_to_the_same_verdict_the_likelier_is_read_back_and_stands() -> None:
    loop, lines, _ = play(*AT_THE_COMMAND, (_DOUBTED, SURE))
    assert loop.session.state is not State.WHICH
    assert loop.session.ledger[-1].shown == "8.4 V"
    taken = [line for line in lines if line["event"] == "reading"][-1]
    assert "8.4 V" in str(taken["text"])
    loop, _, _ = play(*AT_THE_COMMAND, (_DOUBTED, SURE), sure("correction eight point five volts"))
    assert "8.5 V" in [each.shown for each in loop.session.ledger if not each.superseded]


def test_where_the_limit_of_another_step_uses_it_it_is_asked_about() -> None:
    close = {"twelve point six volts": 0.0, "twelve point five volts": 2.0}
    loop, _, _ = play(*OPENING, (close, SURE))
    assert loop.session.state is State.WHICH


def test_where_the_other_comes_to_another_verdict_it_is_asked_about() -> None:
    far = {"eight point four volts": 0.0, "five point four volts": 2.0}
    loop, _, _ = play(*AT_THE_COMMAND, (far, SURE))
    assert loop.session.state is State.WHICH


def accepting(limit: str) -> str:
    """The fan's procedure with another limit at the battery."""
    assert "accept: 12.0 V to 12.9 V" in FAN
    return FAN.replace("accept: 12.0 V to 12.9 V", f"accept: {limit}", 1)


def test_a_teen_is_asked_for_in_digits_where_the_ten_would_lead_elsewhere() -> None:
    limited = accepting("12.0 V to 16 V")
    loop, lines, _ = play(*OPENING, sure("thirteen point two volts"), text=limited)
    assert loop.session.state is State.WHICH
    asked = [line for line in lines if line["event"] == "ask"][-1]
    assert "13.2 V, one three point two volts, or 30.2 V, three zero" in str(asked["text"])
    assert "digit by digit" in str(asked["text"])


def test_said_in_digits_it_is_taken_without_another_question() -> None:
    limited = accepting("12.0 V to 16 V")
    said = sure("thirteen point two volts"), sure("one three point two volts")
    loop, lines, _ = play(*OPENING, *said, text=limited)
    assert loop.session.step == "feed"
    assert [line["shown"] for line in lines if line["event"] == "reading"] == ["13.2 V"]
    at_once, lines, _ = play(*OPENING, said[1], text=limited)
    assert at_once.session.step == "feed"
    assert not [line for line in lines if "digit by digit" in str(line["text"])]


def test_said_again_as_it_was_it_is_read_back_in_digits_and_waits_for_yes() -> None:
    said = sure("thirteen point two volts")
    limited = accepting("12.0 V to 16 V")
    loop, lines, _ = play(*OPENING, said, said, text=limited)
    assert loop.session.state is State.CONFIRM
    asked = [line for line in lines if line["event"] == "ask"][-1]
    assert "13.2 V, one three point two volts?" in str(asked["text"])
    assert not [line for line in lines if line["event"] == "reading"]
    loop, lines, _ = play(*OPENING, said, said, sure("affirm reading"), text=limited)
    assert [line["shown"] for line in lines if line["event"] == "reading"] == ["13.2 V"]


def test_a_teen_whose_ten_would_do_as_well_is_read_back_in_digits_and_stands() -> None:
    loop, lines, _ = play(
        *OPENING, sure("thirteen point two volts"), text=accepting("12.0 V to 60 V")
    )
    assert loop.session.step == "feed"
    taken = [line for line in lines if line["event"] == "reading"][-1]
    assert taken["shown"] == "13.2 V"
    assert "13.2 V, one three point two" in str(taken["text"])


def test_a_ten_that_cannot_be_is_no_reason_to_ask() -> None:
    limited = accepting("12.0 V to 16 V, plausible: 0 V to 20 V")
    limited = limited.replace("16 V, plausible", "16 V\n    plausible")
    loop, _, _ = play(*OPENING, sure("thirteen point two volts"), text=limited)
    assert loop.session.step == "feed"


def test_where_nobody_knows_the_limit_it_is_asked_for_in_digits() -> None:
    heard = HeardClip("scripted", (Candidate("fifteen", 0.0),), none_of_these=-SURE)
    grammar = LANGUAGE.compose(Expectation(("voltage",), unit("V")))
    found = judged(heard, grammar, ClipFacts(30.0, 1.0), BELIEVED, alikes(LANGUAGE))
    decision = found.decided(repr)
    assert isinstance(decision, AskAmong)
    assert [str(key[0].value) for key in decision.keys] == ["15", "50"]  # type: ignore[union-attr]


def test_the_record_shows_every_candidate_with_its_probability() -> None:
    close = {"twelve point six volts": 0.0, "eleven point six volts": CLOSE}
    _, lines, _ = play(*OPENING, (close, SURE))
    candidates = last_heard(lines)["candidates"]
    assert isinstance(candidates, list)
    assert [each["words"] for each in candidates] == list(close)
    assert sum(each["probability"] for each in candidates) == pytest.approx(1.0, abs=0.05)


def test_speech_that_is_most_likely_none_of_these_is_let_pass() -> None:
    loop, lines, _ = play(*OPENING, ({"twelve point six volts": 100.0}, 0.0))
    assert loop.session.step == "battery"
    assert last_heard(lines)["decision"] == "reject"
    # The clip of these tests is silence: nothing in it stands above its noise.
    assert last_heard(lines)["reason"] == "too noisy"


def test_a_session_resumed_from_its_journal_has_the_same_doubts() -> None:
    close = {"twelve point six volts": 0.0, "eleven point six volts": CLOSE}
    loop, lines, engine = play(*OPENING, (close, SURE))
    header = {"event": "session", "facts": {}, "at": "2026-01-02T08:00:00+01:00"}
    kept = [{**line, "at": header["at"]} for line in lines]
    assert replayed(engine, typed([header, *kept])).session == loop.session


def test_a_number_that_was_taken_without_asking_is_so_again_when_resumed() -> None:
    said = sure("thirteen point two volts")
    loop, lines, engine = play(*OPENING, said, text=accepting("12.0 V to 60 V"))
    header = {"event": "session", "facts": {}, "at": "2026-01-02T08:00:00+01:00"}
    kept = [{**line, "at": header["at"]} for line in lines]
    assert replayed(engine, typed([header, *kept])).session == loop.session


BEFORE_THE_MOTOR = (
    *OPENING,
    *map(sure, ("twelve point six volts", "affirm", "twelve point five volts", "bright", "bright")),
    *map(sure, ("zero point zero five volts", "done", "eight point four volts", "done")),
    *map(sure, ("two point five volts", "done")),
)


def test_a_failing_reading_that_is_clear_stands_and_does_so_again_when_resumed() -> None:
    loop, lines, engine = play(*BEFORE_THE_MOTOR, sure("twelve point three volts"))
    assert loop.session.ledger[-1].shown == "12.3 V"
    assert last_heard(lines)["sure"]
    header = {"event": "session", "facts": {}, "at": "2026-01-02T08:00:00+01:00"}
    kept = [{**line, "at": header["at"]} for line in lines]
    assert replayed(engine, typed([header, *kept])).session == loop.session


VOLTAGE = LANGUAGE.compose(Expectation(("voltage",), unit("V")))


def is_sure(words: str, spelled: str, *, knows: bool = True) -> bool:
    clip = HeardClip("scripted", (Candidate(words, 0.0),), none_of_these=-SURE, spelled=spelled)
    known = alikes(LANGUAGE) if knows else None
    decision = judged(clip, VOLTAGE, ClipFacts(30.0, 1.0), BELIEVED, known).decided(repr)
    assert isinstance(decision, Accept)
    return decision.sure


def test_a_reading_is_sure_where_it_is_spelled_so_without_the_grammar_too() -> None:
    said = "twenty six point eight three volts"
    assert is_sure(said, said)
    assert is_sure(said, "twenty six point eight three vollts")
    assert not is_sure(said, "twenty six four ight three volts")
    assert not is_sure(said, "")
    assert not is_sure(said, said, knows=False)


@pytest.mark.parametrize("words", ["seven five six volts", "five three volts", "minus five three"])
def test_it_is_not_where_a_digit_may_be_the_point(words: str) -> None:
    assert not is_sure(words, words)
    assert is_sure("seven point six volts", "seven point six volts")
    assert is_sure("twelve point zero volts", "twelve point zero volts")


def test_a_listener_without_odds_is_taken_as_it_is_unless_it_is_none_of_these() -> None:
    grammar = LANGUAGE.compose(Expectation(("voltage",), unit("V")))

    def decided(none: float) -> Decision:
        heard = HeardClip("vosk", (Candidate("twelve volts", -5.0),), none_of_these=none)
        return judged(heard, grammar, ClipFacts(30.0, 1.0), None).decided(repr)

    assert decided(-6.0) == Accept(grammar.parse("twelve volts").meanings, 1.0)
    assert decided(-4.0) == Reject(1.0)


@pytest.mark.parametrize(
    ("heard", "digits"),
    [
        ({"six oh": 0.0, "six": 0.5}, "12.60"),
        ({"six": 0.0, "six oh": 0.5}, "12.6"),
    ],
)
def test_of_two_that_come_to_the_same_the_digits_of_the_likelier_are_kept(
    heard: dict[str, float], digits: str
) -> None:
    """12.6 and 12.60 are one value, but the digits tell how finely it was read."""
    grammar = LANGUAGE.compose(Expectation(("voltage",), unit("V")))
    judgement = judged(by(heard), grammar, ClipFacts(30.0, 1.0), BELIEVED)
    decision = judgement.decided(repr)
    assert isinstance(decision, Accept)
    assert decision.probability > 0.99
    assert str(getattr(decision.key[0], "value", "")) == digits
    assert judgement.words == judgement.words_for(decision.key)
    assert grammar.parse(judgement.words).meanings == decision.key


def by(behind: dict[str, float]) -> HeardClip:
    """What was heard: words after "twelve point" with their distance behind the best."""
    candidates = (Candidate(f"twelve point {words}", -far) for words, far in behind.items())
    return HeardClip("scripted", tuple(candidates), none_of_these=-SURE)


@pytest.mark.parametrize("shown", [("8.1",), ()])
def test_a_number_that_the_meter_does_not_show_is_asked_about_however_clear_it_sounds(
    shown: tuple[str, ...],
) -> None:
    known = tuple(Reading(Decimal(value), unit("V")) for value in shown)
    grammar = LANGUAGE.compose(Expectation(("voltage",), unit("V"), shown=known))
    heard = HeardClip("scripted", (Candidate("eight point seven volts", 0.0),), none_of_these=-SURE)
    decision = judged(heard, grammar, ClipFacts(30.0, 1.0), BELIEVED).decided(repr)
    assert isinstance(decision, AskAmong)
    assert decision.keys == ((Reading(Decimal("8.7"), unit("V")),), *((one,) for one in known))
    right = HeardClip("scripted", (Candidate("eight point one volts", 0.0),), none_of_these=-SURE)
    taken = judged(right, grammar, ClipFacts(30.0, 1.0), BELIEVED).decided(repr)
    assert isinstance(taken, Accept) is bool(shown)


def test_a_number_finer_than_any_meter_shows_is_asked_about_however_clear_it_sounds() -> None:
    grammar = LANGUAGE.compose(Expectation(("voltage",), unit("V")))

    def decided(words: str) -> Decision:
        heard = HeardClip("scripted", (Candidate(words, 0.0),), none_of_these=-SURE)
        return judged(heard, grammar, ClipFacts(30.0, 1.0), BELIEVED).decided(repr)

    fine = decided("four point six zero millivolts")
    assert isinstance(fine, AskAmong)
    assert fine.keys == ((Reading(Decimal("4.60"), unit("mV")),),)
    assert isinstance(decided("four point six millivolts"), Accept)
    assert isinstance(decided("four point six zero volts"), Accept)


#: A question that waits for an answer, with one step after it.
QUESTION = f"""{HEAD}
steps:
  turns: {{ask: does it turn freely, answers: {{yes: wire, no: bad}}}}
  wire: {{measure: voltage on the wire, accept: 8 V to 9 V, fail: bad, then: good}}
{FINDINGS}"""
#: Likely other talk, and less likely yes.
FAINT = ({"affirm": 0.0}, -3.0)


def test_who_was_not_understood_and_answers_again_is_asked_whether_it_was_that() -> None:
    loop, _, _ = play(FAINT, text=QUESTION)
    assert (loop.session.state, loop.session.misses) == (State.ASK, 1)
    loop, lines, _ = play(FAINT, FAINT, text=QUESTION)
    assert loop.session.state is State.CONFIRM
    asked = [line for line in lines if line["event"] == "ask"][-1]
    assert "affirm reading" in str(asked["text"])
    loop, _, _ = play(FAINT, FAINT, sure("affirm reading"), text=QUESTION)
    assert loop.session.step == "wire"


def test_what_is_hardly_an_answer_is_let_pass_however_often_it_is_said() -> None:
    never = ({"affirm": 0.0}, -8.0)
    loop, _, _ = play(never, never, never, text=QUESTION)
    assert (loop.session.state, loop.session.misses) == (State.ASK, 3)
