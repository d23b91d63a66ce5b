"""A job ends as what it came to, under a name of its own."""

from bench import Bench, volts

from voiceassist.language.meanings import Answer
from voiceassist.procedure.read import inspect
from voiceassist.record.outcomes import DEMO, OUTCOMES
from voiceassist.session import outcomes
from voiceassist.session.outputs import Ended, FindingReached, Summary
from voiceassist.session.states import State

HEAD = """\
procedure: lamp
title: A lamp does not light
for: an invented trailer
steps:
  one: {measure: voltage at the pin, accept: 11 V to 13 V, fail: broken, then: no-fault}
"""
GOOD = "findings:\n  no-fault: {cause: the feed is as it should be, correction: move the wires}\n"
BROKEN = "  broken: {cause: the wire is broken, correction: mend the wire"
REPAIR = "repairs:\n  mend: {do: mend the wire}\n"
PLAIN = f"{HEAD}{GOOD}{BROKEN}}}\n"
MENDED = f"{HEAD}{REPAIR}{GOOD}{BROKEN}, repair: [mend]}}\n"
PROVED = f"{HEAD}{REPAIR}{GOOD}{BROKEN}, repair: [mend], prove-with: [one]}}\n"


def outcome(bench: Bench) -> str:
    """How it ends; a job that waits for its last word gets it."""
    while bench.state is not State.CLOSED:
        bench.say("affirm" if bench.state is State.FINISH else "finish")
    (end,) = [o for o in bench.all if isinstance(o, Ended)]
    return end.outcome


def test_nothing_wrong_is_no_fault_found() -> None:
    bench = Bench(PLAIN).after(volts("12.00"))
    (finding,) = [o for o in bench.all if isinstance(o, FindingReached)]
    assert finding.no_fault
    assert "No fault found: the feed is as it should be" in finding.text
    assert outcome(bench) == "no-fault"
    (summed,) = [o for o in bench.all if isinstance(o, Summary)]
    assert summed.cause.startswith("No fault found: the feed is as it should be; measured: one 12.")
    assert summed.correction == "Nothing was changed. Advice: move the wires."


def test_nothing_wrong_with_a_step_skipped_proves_nothing() -> None:
    text = PLAIN.replace("then: no-fault", "then: no-fault, skip: no-fault")
    bench = Bench(text).after("skip", Answer("no-tool"))
    assert outcome(bench) == "unproved"


def test_a_job_that_is_finished_at_once_is_stopped() -> None:
    assert outcome(Bench(PLAIN)) == "stopped"


def test_a_cause_without_a_repair_is_found() -> None:
    bench = Bench(PLAIN).after(volts("5.00"))
    assert not any(isinstance(o, FindingReached) and o.no_fault for o in bench.all)
    assert outcome(bench) == "found"


def test_what_proves_a_condemned_part_stands_beside_what_did_not_pass() -> None:
    steps = """\
steps:
  one: {measure: voltage at the pin, accept: 11 V to 13 V, fail: broken}
  earth: {measure: voltage at the earth, accept: at most 0.1 V, fail: broken}
  spare: {measure: voltage at the spare pin, accept: 11 V to 13 V, fail: broken}
  lit: {ask: does it light, accept: yes, answers: {yes: no-fault, no: lamp}}
"""
    lamp = "  lamp: {cause: it is dead, correction: change it, condemns: lamp, proved-by: "
    more = f"{steps}{GOOD}{BROKEN}}}\n{lamp}{{feed: one, earth: earth}}}}\n"
    text = f"{HEAD[: HEAD.index('steps:')]}{more}"
    bench = Bench(text).after(volts("12.00"), volts("0.02"), volts("12.10"), Answer("negative"))
    (finding,) = [o for o in bench.all if isinstance(o, FindingReached)]
    assert finding.because == ("one: 12.00 V", "earth: 0.02 V", "lit: no")


def test_a_repair_that_nothing_could_prove_is_done() -> None:
    bench = Bench(MENDED).after(volts("5.00"), "affirm", "done")
    assert outcome(bench) == "repair-done"
    (summed,) = [o for o in bench.all if isinstance(o, Summary)]
    assert summed.correction == "Mend the wire. Nothing was measured afterwards."


def test_a_repair_that_was_begun_is_not_proved() -> None:
    assert outcome(Bench(MENDED).after(volts("5.00"), "affirm")) == "not-proved"


def test_a_repair_whose_proof_was_begun_is_not_proved_and_not_called_done() -> None:
    bench = Bench(PROVED).after(volts("5.00"), "affirm", "done", volts("5.00"))
    assert outcome(bench) == "not-proved"


def test_a_repair_that_is_measured_good_is_repaired() -> None:
    bench = Bench(PROVED).after(volts("5.00"), "affirm", "done", volts("12.00"))
    assert outcome(bench) == "repaired"


def test_a_finding_of_any_name_can_say_that_nothing_is_wrong_and_no_fault_that_something_is() -> (
    None
):
    named = PLAIN.replace("no-fault", "all-good").replace("wires}", "wires, no-fault: true}")
    assert outcome(Bench(named).after(volts("12.00"))) == "no-fault"
    against = PLAIN.replace("wires}", "wires, no-fault: false}")
    assert outcome(Bench(against).after(volts("12.00"))) == "found"


def test_where_nothing_is_wrong_there_is_nothing_to_repair() -> None:
    text = PLAIN.replace("wires}", "wires, repair: [mend]}").replace(
        "findings:", f"{REPAIR}findings:"
    )
    procedure, faults = inspect(text)
    assert procedure is None
    assert any("nothing is wrong at 'no-fault'" in fault.message for fault in faults)


def test_every_outcome_is_told_in_words() -> None:
    names = {value for name, value in vars(outcomes).items() if name.isupper()}
    # The engine does not know that a job is the recorded one; its record does.
    assert names | {DEMO} == set(OUTCOMES)
