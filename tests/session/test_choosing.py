"""A step can be taken before its turn only where nothing that its order guards is lost."""

import pytest
from bench import Bench, small, volts

from voiceassist.language.meanings import Answer, Command, Meaning
from voiceassist.measure.limit import Verdict
from voiceassist.session.choosing import choosable
from voiceassist.session.outputs import Advice, FindingReached, StepSkipped, VerdictGiven

_FINDINGS = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad-feed: {cause: the feed is bad, correction: mend it, because: [feed]}
  bad-end: {cause: the end is bad, correction: change it}
  shown: {cause: the end is shown bad, correction: change it, because: [end]}
"""
_ROW = """
  feed: {measure: voltage of the feed, accept: 11 V to 13 V, fail: bad-feed}
  middle: {measure: voltage of the middle, accept: 11 V to 13 V, fail: bad-feed}
  end: {measure: voltage of the end, accept: 11 V to 13 V, fail: bad-end, then: good}
"""


def row(steps: str = _ROW) -> Bench:
    return small(steps, more=_FINDINGS)


def go_to(name: str) -> Meaning:
    return Command("go-to", name)


def free(bench: Bench) -> tuple[str, ...]:
    return choosable(bench.engine.setup, bench.session)


def said(bench: Bench) -> str:
    return " ".join(output.text for output in bench.outputs)


def findings(bench: Bench) -> list[str]:
    return [output.name for output in bench.all if isinstance(output, FindingReached)]


def test_a_step_taken_early_that_passes_leads_back_to_what_was_left_and_is_not_asked_again() -> (
    None
):
    bench = row()
    assert free(bench) == ("middle", "end")
    bench.say(go_to("end"))
    assert "Left for later: feed" in said(bench)
    assert bench.session.step == "end"
    bench.say(volts("12.0"))
    assert bench.session.step == "feed"
    bench.say(volts("12.0"), volts("12.0"))
    assert [r.step for r in bench.session.ledger] == ["end", "feed", "middle"]
    assert findings(bench) == ["good"]


def test_from_a_step_taken_early_one_goes_back_to_where_one_was() -> None:
    bench = row().after(volts("12.0"))
    bench.say(go_to("end"), "go-back")
    assert bench.step == "middle"
    assert [r.step for r in bench.session.ledger] == ["feed"]


def test_what_was_read_before_a_step_taken_early_can_still_be_corrected() -> None:
    bench = row().after(volts("12.0"))
    bench.say(go_to("end"), "revise", Answer("feed"), volts("12.5"))
    assert [r.shown for r in bench.session.ledger if not r.superseded] == ["12.5 V"]


def test_no_finding_counts_before_what_was_left_for_later_has_passed() -> None:
    bench = row()
    bench.say(go_to("end"), volts("5.0"))
    assert findings(bench) == []
    assert bench.session.step == "feed"
    bench.say(volts("12.0"))
    assert findings(bench) == []
    bench.say(volts("12.0"))
    assert findings(bench) == ["bad-end"]


def test_what_was_left_for_later_and_fails_leads_where_the_file_has_it() -> None:
    bench = row()
    bench.say(go_to("end"), volts("5.0"), volts("5.0"))
    assert findings(bench) == ["bad-feed"]


def test_a_finding_that_the_file_says_is_proved_by_that_step_alone_is_reached_at_once() -> None:
    bench = row(_ROW.replace("bad-end", "shown"))
    bench.say(go_to("end"), volts("5.0"))
    assert findings(bench) == ["shown"]


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (("  middle: {measure", "  middle: {skip: never, measure"), "it must not be left out"),
        (("  middle: {measure: voltage of the middle, accept: 11 V to 13 V, fail: bad-feed}",
          "  middle: {wait: it to cool, for: 5 min}"), "a wait is no test"),
        (("  middle: {measure", "  middle: {caution: blades, measure"), "its caution is not heard"),
        (("end, accept: 11 V to 13 V", "end, accept: middle - 1 V to 13 V"), "its limit needs it"),
    ],
)  # fmt: skip
def test_what_stands_before_a_step_holds_it(change: tuple[str, str], why: str) -> None:
    assert change[0] in _ROW
    bench = row(_ROW.replace(*change))
    assert "end" not in free(bench), why
    bench.say(go_to("end"))
    assert "cannot come yet" in said(bench)
    assert bench.session.step == "feed"


def test_the_cautions_and_conditions_of_the_step_itself_come_first() -> None:
    bench = row(_ROW.replace("  end: {", "  end: {caution: blades, needs: {key: run}, "))
    bench.say(go_to("end"))
    assert "WARNING" in said(bench)
    bench.say(volts("12.0"))
    assert any(
        isinstance(o, VerdictGiven) and o.verdict == Verdict.NOT_VALID for o in bench.outputs
    )
    assert not bench.session.ledger


@pytest.mark.parametrize(
    ("name", "told"), [("feed", "the step we are at"), ("", "Say go to, and one of these: middle")]
)
def test_what_cannot_be_gone_to_gets_one_sentence(name: str, told: str) -> None:
    bench = row()
    assert len(bench.say(go_to(name))) == 2  # the sentence, and to listen
    assert told in said(bench)
    bench.say(volts("12.0"), go_to("feed"))
    assert "measured already" in said(bench)


def test_go_back_returns_to_the_order_that_was_left() -> None:
    bench = row()
    bench.say(go_to("end"), Command("go-back"))
    assert bench.session.step == "feed"
    assert not bench.session.ahead


def test_a_step_that_was_taken_early_and_skipped_comes_again_in_its_turn() -> None:
    bench = row()
    bench.say(go_to("end"), Command("skip", "no-tool"))
    assert any(isinstance(output, StepSkipped) for output in bench.all)
    bench.say(volts("12.0"), volts("12.0"))
    assert bench.session.step == "end"


def test_a_correction_of_what_came_before_asks_again_for_what_it_moves() -> None:
    bench = row()
    bench.say(volts("12.0"), go_to("end"), volts("12.0"))
    assert bench.session.step == "middle"
    bench.say(volts("12.1"), Command("go-back"))
    assert bench.session.step == "middle"


def test_asked_where_nothing_works_it_out_says_so_and_nothing_moves() -> None:
    bench = row()
    for command in (Command("sure"), Command("advise"), Command("against", "bad-end")):
        outputs = bench.say(command)
        assert [type(output) for output in outputs[:-1]] == [Advice]
        assert "this procedure has no circuit" in said(bench)
    bench.say(Command("against"))
    assert "Say which" in said(bench)
    assert bench.session.step == "feed"


def test_a_step_that_there_is_not_is_told_of_with_those_that_can_be_chosen() -> None:
    bench = row().after(go_to("no-such-step"))
    assert said(bench).strip() == (
        "There is no step called no such step here. Say go to, and one of these: middle, or end."
    )
    assert (bench.step, bench.session.left) == ("feed", ())
