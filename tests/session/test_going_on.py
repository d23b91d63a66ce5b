"""What is put right on the way: the diagnosis goes on, once, with the vehicle as it is now."""

from bench import Bench, small, volts

from voiceassist.language.meanings import Answer
from voiceassist.session.outputs import Ended, FindingReached, Summary
from voiceassist.session.session import Stage
from voiceassist.session.states import State

STEPS = """
look: {ask: is it all there, answers: {yes: battery, no: bad}}
battery: {measure: voltage of the battery, accept: at least 12.4 V, low: flat}
crank: {measure: voltage when cranking, accept: at least 9.6 V, low: flat}
cable: {measure: voltage along the cable, accept: at most 0.5 V, high: worn, then: good}
"""
FINDINGS = """
repairs:
  charge: {do: charge it}
findings:
  flat: {cause: the battery is flat, correction: charge it, corrected: charged it, go-on: battery}
  worn: {cause: the cable is worn, correction: renew it, prove-with: [cable]}
  bad: {cause: it is bad, correction: mend it}
  good: {cause: cable and battery are good, correction: nothing to do, no-fault: true}
"""
GUIDED = FINDINGS.replace("go-on: battery", "repair: [charge], go-on: battery")


def start(findings: str = FINDINGS) -> Bench:
    return small(STEPS, more=findings).after("affirm")


def flat() -> Bench:
    return start().after(volts("11.6"))


def summary(bench: Bench) -> Summary:
    return next(o for o in bench.all if isinstance(o, Summary))


def test_a_finding_that_is_put_right_leads_on_at_the_step_that_it_names() -> None:
    bench = flat()
    assert bench.state is State.OFFER
    assert "Say affirm, and we go on" in bench.texts().replace("say", "Say")
    bench.say("affirm")
    assert "Now we go on." in bench.texts()
    assert (bench.step, bench.session.stage, bench.session.finding) == (
        "battery",
        Stage.DIAGNOSE,
        "",
    )


def test_a_guided_repair_leads_on_too_without_a_proof() -> None:
    bench = start(GUIDED).after(volts("11.6"), "affirm")
    assert bench.step == "charge"
    bench.say("done")
    assert (bench.step, bench.session.stage) == ("battery", Stage.DIAGNOSE)


def test_what_was_read_from_there_on_counts_no_longer_and_what_came_before_does() -> None:
    bench = start().after(volts("12.6"), volts("8.9"), "affirm")
    assert bench.step == "battery"
    counting = [r.step for r in bench.session.ledger if not r.superseded]
    assert counting == ["look"]
    assert [r.step for r in bench.session.ledger if r.outdated] == ["battery", "crank"]


def test_it_goes_on_only_once_for_each_finding() -> None:
    bench = flat().after("affirm", volts("11.5"))
    assert bench.state is State.AFTER
    assert "it has come again: find out why" in bench.texts()
    bench.closed()
    assert [o.outcome for o in bench.all if isinstance(o, Ended)] == ["found"]


def test_the_next_finding_is_found_and_both_are_told_at_the_end() -> None:
    bench = flat().after("affirm", volts("12.6"), volts("10"), volts("0.9"), "negative")
    found = [o.name for o in bench.all if isinstance(o, FindingReached)]
    assert found == ["flat", "worn"]
    told = summary(bench.closed())
    assert told.cause == (
        "The battery is flat, shown by battery 11.6 V (limit at least 12.4 V). "
        "The cable is worn, shown by cable 0.9 V (limit at most 0.5 V)."
    )
    assert told.correction == "Charged it. Not done yet; recommended: renew it."


def test_the_job_of_a_cable_does_not_claim_the_repair_of_the_battery() -> None:
    steps = (volts("11.6"), "affirm", "done", volts("12.6"), volts("10"), volts("0.9"), "negative")
    told = summary(start(GUIDED).after(*steps).closed())
    assert told.correction == "Charged it. Not done yet; recommended: renew it."


def test_when_nothing_else_is_wrong_what_was_put_right_was_the_cause() -> None:
    bench = flat().after("affirm", volts("12.6"), volts("10"), volts("0.1"))
    assert "Nothing else is wrong: cable and battery are good." in bench.texts()
    assert "Repair proved." in bench.texts()
    told = summary(bench.closed())
    assert told.cause == "The battery is flat, shown by battery 11.6 V (limit at least 12.4 V)."
    assert told.correction == (
        "Charged it. Proved by battery 12.6 V (limit at least 12.4 V); "
        "crank 10 V (limit at least 9.6 V); cable 0.1 V (limit at most 0.5 V)."
    )
    assert [o.outcome for o in bench.all if isinstance(o, Ended)] == ["repaired"]


def test_one_who_does_not_put_it_right_closes_the_job_with_the_finding() -> None:
    bench = flat().after("negative").closed()
    assert [o.outcome for o in bench.all if isinstance(o, Ended)] == ["found"]


def test_a_job_that_is_stopped_on_the_way_tells_what_was_put_right() -> None:
    bench = flat().after("affirm", "finish", "affirm").closed()
    told = summary(bench)
    assert told.cause.startswith("The battery is flat, shown by battery 11.6 V")
    assert told.correction == "Charged it."


def test_going_back_over_it_makes_the_old_reading_open_again() -> None:
    bench = flat().after("affirm", "go-back")
    assert (bench.step, bench.session.put_right) == ("battery", ())
    bench.say(volts("12.6"), volts("8.9"))
    assert (bench.state, bench.session.finding) == (State.OFFER, "flat")


def test_a_correction_right_after_it_is_the_new_reading_and_not_the_old_one() -> None:
    bench = flat().after("affirm")
    bench.correct(volts("12.5"))
    assert (bench.step, bench.session.ledger[-1].shown) == ("crank", "12.5 V")
    assert bench.session.put_right == (("flat", 2),)


def test_an_answer_from_before_can_be_corrected_and_the_job_stays_where_it_was() -> None:
    bench = flat().after("affirm", volts("12.6"), "revise", Answer("look"), "affirm")
    assert bench.texts() == "Look corrected: yes. Voltage when cranking."
    assert (bench.step, bench.session.put_right) == ("crank", (("flat", 2),))
