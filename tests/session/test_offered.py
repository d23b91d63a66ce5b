"""An offer holds the first turn of its repair: its warnings, or the whole of a short one."""

import pytest
from bench import FINDINGS, HEAD, Bench, small, volts
from lines import Lines

from voiceassist.app.live.instructor import is_quiet
from voiceassist.session.events import Interrupted, Returned
from voiceassist.session.expect import expectation
from voiceassist.session.offered import tells_repair, warns
from voiceassist.session.outputs import CautionAcknowledged, CautionSpoken, ConditionChange
from voiceassist.session.session import Detail, Stage
from voiceassist.session.states import State

STEPS = "one: {measure: voltage on the pin, accept: 4 V to 6 V, then: good, fail: bad}"
FULL = "WARNING: the fan may start. Keep clear."


def found(repair: str, also: str = "", head: str = HEAD, **setup: object) -> Bench:
    """A bench that has just told its finding, mended by ``repair``."""
    names = "change, fit" if also else "change"
    more = FINDINGS.replace("mend it}", f"mend it, repair: [{names}], prove-with: [one]}}")
    more += f"repairs:\n  change: {repair}\n" + (f"  fit: {also}\n" if also else "")
    return small(STEPS, head=head, more=more, **setup).after(volts("9"))


def cautions(bench: Bench) -> list[str]:
    return [o.text for o in bench.outputs if isinstance(o, CautionSpoken)]


# --- a repair of one short step ---

SHORT = "{needs: {key: off}, do: change the fan}"


def test_a_short_repair_is_told_with_its_finding_and_done_when_it_is_told_as_done() -> None:
    bench = found(SHORT)
    assert bench.state is State.OFFER
    said = bench.texts()
    assert said.index("it is bad") < said.index("Turn the key off") < said.index("Change the fan")
    bench.say("done")
    assert (bench.session.stage, bench.step) == (Stage.PROVE, "one")
    assert bench.session.condition("key") == "off"
    assert bench.session.latest("change") is not None


def test_what_puts_it_right_is_not_told_twice_in_one_breath() -> None:
    assert "Mend it." not in found(SHORT).texts()
    assert "Mend it." in found(SHORT).after("how").texts()


def test_no_leaves_a_repair_that_was_told_with_its_finding() -> None:
    bench = found(SHORT)
    assert "negative to leave it" in bench.texts()
    bench.say("negative")
    assert bench.state is State.AFTER
    assert bench.session.latest("change") is None


@pytest.mark.parametrize("yes", ["affirm", "go-ahead"])
def test_yes_to_a_repair_that_was_told_is_no_word_that_it_is_done(yes: str) -> None:
    bench = found(SHORT).after(yes)
    assert (bench.state, bench.step) == (State.DO, "change")
    assert bench.session.latest("change") is None
    bench.say("done")
    assert bench.session.stage is Stage.PROVE


def test_the_word_that_it_is_done_is_listened_for_only_where_all_was_told() -> None:
    told, more = found(SHORT), found(SHORT, also="{do: fit the belt}")
    assert "done" in expectation(told.engine.setup, told.session).awaited
    assert "done" not in expectation(more.engine.setup, more.session).awaited


def test_done_begins_a_repair_of_which_nothing_was_told_yet() -> None:
    bench = found(SHORT, also="{do: fit the belt}").after("done")
    assert (bench.state, bench.step) == (State.DO, "change")


@pytest.mark.parametrize(
    ("repair", "detail"),
    [
        (SHORT, Detail.TEACHING),
        (f"{{do: change the fan {'and look at it ' * 10}}}", Detail.NORMAL),
    ],
)
def test_a_trainee_and_who_is_to_be_told_much_are_asked_first(repair: str, detail: Detail) -> None:
    bench = found(repair, detail=detail)
    assert not tells_repair(bench.engine.setup, bench.session)
    assert "guide the repair" in bench.texts()
    assert "Mend it." in bench.texts()


def test_a_change_that_was_not_told_with_the_offer_is_told_before_the_repair_counts() -> None:
    """The key was off when the repair was told, and nothing is known of it after a long pause."""
    steps = STEPS.replace("{measure", "{needs: {key: off}, measure")
    more = FINDINGS.replace("mend it}", "mend it, repair: [change], prove-with: [one]}")
    more += f"repairs:\n  change: {SHORT}\n"
    bench = small(steps, more=more).after(volts("9"))
    assert [o for o in bench.outputs if isinstance(o, ConditionChange) and not o.met] == []
    bench.give(Returned(away_s=7200.0))
    bench.say("negative", "done")
    assert bench.session.latest("change") is None
    assert "Turn the key off" in bench.texts()


def test_what_was_asked_for_with_the_offer_is_put_back_when_the_job_ends_there() -> None:
    bench = found("{needs: {plug: out}, do: change it}", head=HEAD + "at-rest: {plug: in}\n")
    bench.say("negative")
    assert "Plug it in" in bench.texts()


# --- a repair that begins with a caution ---

WARNED = "{needs: {key: off}, caution: [blades, edge], do: change the fan}"


def test_the_cautions_that_a_repair_waits_for_are_told_in_full_before_it_is_offered() -> None:
    bench = found(WARNED)
    assert cautions(bench) == [FULL]
    said = bench.texts()
    assert said.index("the fan may start") < said.index("shall I guide the repair")
    assert "Change the fan" not in said
    assert [o for o in bench.outputs if isinstance(o, ConditionChange)] == []


def test_one_yes_says_that_they_are_understood_and_begins_the_repair() -> None:
    bench = found(WARNED).after("affirm")
    (given,) = [o for o in bench.outputs if isinstance(o, CautionAcknowledged)]
    assert (given.step, given.names) == ("change", ("blades",))
    assert FULL not in cautions(bench)
    assert "Change the fan" in bench.texts()


def test_a_lighter_caution_is_told_when_the_repair_begins_and_before_what_it_guards() -> None:
    said = found(WARNED).after("affirm").texts()
    assert said.index("the edge is sharp. Wear gloves") < said.index("Turn the key off")
    assert "the edge is sharp" in found(WARNED).after("affirm", "repeat").texts()


def test_a_lighter_caution_that_was_cut_off_is_told_again_before_the_repair_counts() -> None:
    bench = found(WARNED).after("affirm")
    bench.give(Interrupted(("edge",)))
    bench.say("done")
    assert bench.session.latest("change") is None
    assert "the edge is sharp" in bench.texts()


@pytest.mark.parametrize("word", ["done", "go-ahead"])
def test_no_other_word_says_that_a_caution_is_understood(word: str) -> None:
    bench = found(WARNED).after(word)
    assert (bench.state, bench.step) == (State.CAUTION, "change")
    assert FULL in cautions(bench)


def test_a_second_yes_says_no_more_than_the_first() -> None:
    """As in journals of before, where the offer and its cautions had a yes each."""
    bench = found(WARNED).after("affirm", "affirm")
    assert (bench.state, bench.step) == (State.DO, "change")
    assert bench.session.latest("change") is None
    bench.say("done")
    assert bench.session.stage is Stage.PROVE


def test_a_third_yes_is_the_word_that_it_is_done() -> None:
    bench = found(WARNED).after("affirm", "affirm", "affirm")
    assert bench.session.stage is Stage.PROVE


def test_a_yes_counts_for_nothing_before_a_caution_that_was_cut_off_was_heard() -> None:
    bench = found(WARNED)
    bench.give(Interrupted(("blades",)))
    bench.say("affirm")
    assert bench.state is State.OFFER
    assert FULL in cautions(bench)
    assert bench.after("affirm").step == "change"


def test_a_danger_is_told_with_the_offer_and_waits_for_its_yes_too() -> None:
    bench = found("{caution: orange, do: change the fan}")
    assert "trained and authorised people only" in bench.texts()
    assert warns(bench.session)
    assert bench.after("negative").state is State.AFTER


def test_nobody_is_warned_of_what_comes_later_before_a_repair_that_begins_harmlessly() -> None:
    bench = found("{do: unscrew it}", also="{caution: blades, do: fit the belt}")
    assert cautions(bench) == []
    assert not warns(bench.session)
    assert cautions(bench.after("affirm", "done")) == [FULL]


def test_a_trainee_hears_the_cautions_when_the_repair_begins() -> None:
    bench = found(WARNED, detail=Detail.TEACHING)
    assert cautions(bench) == []
    assert cautions(bench.after("affirm"))[:1] == [FULL]


def test_no_note_comes_between_an_offer_with_cautions_and_its_answer() -> None:
    assert is_quiet(found(WARNED).session)
    assert not is_quiet(found(SHORT).session)


def test_who_says_again_hears_the_cautions_again() -> None:
    assert FULL in cautions(found(WARNED).after("repeat"))


def test_the_cautions_of_a_shipped_repair_are_acknowledged_with_its_offer() -> None:
    bench = Lines("no-charging").walk(
        "exciter",
        hybrid="no",
        belt="yes",
        battery="twelve point five volts",
        idle_volts="twelve point four volts",
        stud_volts="eleven point two volts",
    )
    bench.type("two point two volts")
    told = {o.name for o in bench.outputs if isinstance(o, CautionSpoken)}
    assert told == {"battery"}
    bench.type("affirm")
    told = {o.name for o in bench.outputs if isinstance(o, CautionSpoken)}
    assert told == {"battery-disconnect", "hot-parts"}
    assert (bench.state, bench.step) == (State.DO, "new-alternator")
