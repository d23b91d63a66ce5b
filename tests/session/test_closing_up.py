"""The end of a job: it stays open until it is finished, and no vehicle is left in pieces."""

import pytest
from bench import HEAD, Bench, amps, small, volts
from lines import Lines

from voiceassist.language.meanings import Command, Correction, Note
from voiceassist.session.outputs import ConditionChange, Ended, FindingWithdrawn, NoteTaken
from voiceassist.session.states import State

DRAW = {
    "hybrid": "no",
    "battery": "twelve point five volts",
    "minus_joint": "point zero five volts",
    "rough_draw": "point four amps",
    "draw": "thirty milliamps",
}


def changes(bench: Bench) -> list[str]:
    """States to be brought about, in order."""
    return [f"{o.name} {o.state}" for o in bench.outputs if isinstance(o, ConditionChange)]


def outcome(bench: Bench) -> str:
    return next((o.outcome for o in bench.outputs if isinstance(o, Ended)), "")


def at_feed_side(typed: Bench) -> Bench:
    """At a finding that has a proof and no repair, which is left for later."""
    return typed.to("feed-lamp").after("dim", "negative")


# --- put back ---


def test_the_ammeter_is_taken_out_before_a_good_vehicle_is_left() -> None:
    bench = Lines("key-off-draw").walk("draw", **DRAW)
    assert "Before you go:" in bench.type("thirty milliamps")
    assert "ammeter out" in changes(bench)
    assert bench.state is State.AFTER
    bench.type("done")
    assert (bench.state, outcome(bench)) == (State.CLOSED, "no-fault")
    assert bench.session.condition("ammeter") == "out"


def test_a_job_that_is_stopped_has_the_last_change_put_back_first() -> None:
    answers = DRAW | {"draw": "four hundred milliamps", "without_one": "four hundred milliamps"}
    bench = Lines("key-off-draw").walk("without-two", **answers)
    bench.type("four hundred milliamps", "finish", "affirm")
    assert bench.state is State.PUT_BACK
    assert changes(bench) == [
        "fuse three in", "fuse two in", "fuse one in", "current clamp off", "ammeter out",
        "meter leads volts",
    ]  # fmt: skip


LAMPS = """
one: {needs: {lamps: on}, measure: voltage of it, accept: at least 9 V, fail: bad}
two:
  {needs: {lamps: off}, measure: voltage behind it, accept: 9 V to 15 V, LOOKS
   then: good, fail: bad}
"""
STILL_ON = "one: {needs: {lamps: on}, measure: voltage of it, unit: V, then: good}"
WITH_LAMPS = HEAD + "at-rest: {lamps: off}\n"
WITH_LAMPS = WITH_LAMPS.replace("  fan:", "  lamps: {on: lamps on, off: lamps off}\n  fan:")


def lamps(looks: str = "") -> Bench:
    """At the second step, which wants the lamps off again."""
    return small(LAMPS.replace("LOOKS", looks), head=WITH_LAMPS).after("done", volts("12"))


def test_what_was_put_back_on_the_way_with_no_word_that_it_was_is_only_to_be_checked() -> None:
    assert changes(lamps().after(volts("12"))) == ["lamps off", "lamps off"]
    assert "Before you go: Check that the lamps are off." in lamps().after(volts("12")).texts()


def test_what_is_on_still_is_not_only_to_be_checked() -> None:
    bench = small(STILL_ON, head=WITH_LAMPS).after(volts("12"))
    assert "Before you go: Lamps off." in bench.texts()


def test_what_was_changed_last_is_put_back_first() -> None:
    doors = "trim: {on: trim on, off: trim off}\n  latch: {in: latch in, out: latch out}\n  fan:"
    head = (HEAD + "at-rest: {trim: on, latch: in}\n").replace("  fan:", f"  {doors}")
    first = "one: {needs: {latch: in}, measure: voltage on it, unit: V}\n"
    then = "two: {needs: {trim: off, latch: out}, measure: voltage of it, unit: V, then: good}"
    bench = small(first + then, head=head).after(volts("12"), "done", volts("12"))
    assert "Before you go: Latch in. Trim on." in bench.texts()


def test_what_was_told_as_put_back_is_not_named_again() -> None:
    assert "Before you go" not in lamps().after("done", volts("12")).texts()


def test_what_a_reading_showed_as_put_back_is_not_named_again() -> None:
    bench = lamps("if-forgotten: {lamps: 8 V to 11 V},")
    assert "Before you go" not in bench.after(volts("12")).texts()


def test_what_was_brought_to_its_place_and_never_moved_is_not_named_again() -> None:
    text = "one: {needs: {lamps: off}, measure: voltage of it, unit: V, then: good}"
    assert "Before you go" not in small(text, head=WITH_LAMPS).after(volts("12")).texts()


def test_a_plug_is_put_back_with_the_key_off(typed: Bench) -> None:
    at_feed_side(typed)
    assert changes(typed) == ["key off", "module plug in"]
    assert typed.after("done").state is State.CLOSED


def test_the_job_can_be_stopped_by_a_second_finish_and_the_record_tells_what_was_left(
    typed: Bench,
) -> None:
    at_feed_side(typed).say("finish")
    assert typed.state is State.PUT_BACK
    assert typed.after("finish").state is State.CLOSED
    assert "Left so: the module plug is out, and the key is in run." in typed.texts()


def test_before_the_vehicle_is_put_back_one_may_go_on_after_all(typed: Bench) -> None:
    typed.to("feed").say("finish", "affirm")
    assert typed.state is State.PUT_BACK
    assert typed.after("negative").state is State.MEASURE


def test_what_is_not_known_any_more_is_put_back_too(typed: Bench) -> None:
    typed.to("feed-lamp").say("stand-by")
    typed.hear(Command("go-ahead"), at_s=700.0)
    assert typed.state is State.STILL
    assert typed.after("negative", "finish", "affirm").state is State.PUT_BACK
    assert {"key off", "module plug in"} <= set(changes(typed))


def test_a_vehicle_that_was_not_changed_is_not_asked_to_be_put_back() -> None:
    bench = small("one: {measure: voltage of it, accept: at most 9 V, fail: bad, then: good}")
    bench.say(volts("3"))
    assert "Before you go" not in bench.texts()
    assert "Say finish to close." in bench.texts()
    assert outcome(bench.after("finish")) == "found"


def test_what_was_asked_for_and_may_have_been_begun_is_put_back_too(typed: Bench) -> None:
    typed.to("battery").say(volts("12.6"), "affirm")
    assert typed.session.condition("module plug") == ""
    typed.say("finish", "affirm")
    assert "module plug in" in changes(typed)


# --- still open ---


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("repeat", "Finding: the supply to the fan module is weak or missing."),
        ("why", "Because: battery: 12.6 V"),
        ("explain", "Find the bad joint"),
        ("how", "Find the bad joint"),
        ("limit", "Feed lamp, dim: it should be bright."),
        ("where", "The finding is this: the supply to the fan module"),
        ("how-far", "Nothing more to do."),
        ("read-back", "feed lamp, dim"),
    ],
)
def test_after_the_finding_a_question_speaks_of_it(
    typed: Bench, question: str, answer: str
) -> None:
    before = at_feed_side(typed).session
    typed.say(question)
    assert answer in typed.texts()
    assert typed.session == before


@pytest.mark.parametrize("question", ["repeat", "why"])
def test_at_the_offer_of_a_repair_the_finding_can_be_heard_again(
    typed: Bench, question: str
) -> None:
    typed.to("motor-draw").after(amps("19"), "done", "negative")
    assert typed.state is State.OFFER
    assert "Because" not in typed.texts()
    told = {"repeat": "Finding: the fan motor drags", "why": "motor draw: 19 A"}
    typed.say(question)
    assert told[question] in typed.texts()


def test_a_slip_in_the_last_value_can_be_corrected_after_the_finding(typed: Bench) -> None:
    typed.to("battery").say(volts("11.2"))
    assert typed.session.finding == "charge-first"
    typed.say(Correction(volts("12.6")))
    assert "Battery corrected: 12.6 V." in typed.texts()
    assert (typed.step, typed.session.finding) == ("feed", "")


def test_a_note_is_taken_after_the_finding(typed: Bench) -> None:
    at_feed_side(typed).say(Note("fuse holder is brown"))
    assert any(isinstance(o, NoteTaken) for o in typed.outputs)
    assert typed.state is State.AFTER


# --- a proof that fails ---

REPAIRED = """
one: {measure: voltage of it, accept: at least 9 V, low: two, high: two, then: good}
two: {measure: voltage behind it, accept: at least 5 V, fail: bad, then: part}
"""
WITH_PART = """
findings:
  good: {cause: all is well, correction: nothing to do}
  bad: {cause: the wire is bad, correction: mend it}
  part: {cause: the part is bad, correction: change it, repair: [change], prove-with: [one]}
repairs:
  change: {do: change the part}
"""


def test_a_proof_that_fails_leads_back_into_the_diagnosis() -> None:
    bench = small(REPAIRED, more=WITH_PART).after(volts("3"), volts("6"), "affirm", "done")
    bench.say(volts("3"))
    assert bench.state is State.RETRY
    bench.say("negative")
    assert [o.name for o in bench.outputs if isinstance(o, FindingWithdrawn)] == ["part"]
    assert (bench.step, bench.session.finding) == ("two", "")
    assert bench.after(volts("1")).session.finding == "bad"


def test_how_far_counts_the_repair_and_its_proof_together() -> None:
    bench = small(REPAIRED, more=WITH_PART).after(volts("3"), volts("6"), "how-far")
    assert "2 more steps to go, about 6 minutes." in bench.texts()
    assert "2 more steps to go, about 6 minutes." in bench.after("affirm", "how-far").texts()
    assert "One more step to go, about a minute." in bench.after("done", "how-far").texts()


def test_yes_to_a_finding_closes_no_job_and_it_is_said_what_does() -> None:
    bench = small("one: {measure: voltage on the pin, unit: V, then: good}").after(volts("5"))
    assert bench.state is State.AFTER
    assert bench.after("affirm").state is State.AFTER
    assert "finish" in bench.texts()
    assert bench.after("finish").state is State.CLOSED


# --- a number of the job, told at the very end ---


@pytest.mark.parametrize(
    "words", ["repair order 1042", "job number one zero four two", "it's order number 1042"]
)
@pytest.mark.parametrize("before", [("finish",), ("finish", "affirm"), ()])
def test_a_number_of_the_job_told_at_any_question_of_its_end_is_kept(
    words: str, before: tuple[str, ...]
) -> None:
    bench = Lines("heater-fan-module").walk("feed-lamp", battery="12.6", feed="12.5")
    bench.type(*before)
    assert bench.type(words).startswith("The repair order is")
    bench.type(*{0: ("finish", "affirm", "done"), 1: ("affirm", "done"), 2: ("done",)}[len(before)])
    assert bench.state is State.CLOSED
    assert dict(bench.session.facts)["repair order"] == "1042"


def test_a_number_of_the_job_told_while_the_vehicle_is_put_back_for_later_is_kept() -> None:
    bench = Lines("heater-fan-module").walk("feed-lamp", battery="12.6", feed="12.5")
    bench.say(Command("park", "parts"))
    assert bench.state is State.TO_PARK
    bench.type("repair order 1042", "done")
    assert dict(bench.session.facts)["repair order"] == "1042"
