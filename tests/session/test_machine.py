"""Whatever is said in whatever order, through a procedure that uses every feature."""

from dataclasses import replace

import pytest
from bench import METER, SHORT, Bench, volts
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from roof_fan import TEXT, healthy, library

from voiceassist.errors import SessionError
from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Lamp,
    Meaning,
    Reading,
)
from voiceassist.measure.units import unit
from voiceassist.session.events import (
    Begin,
    Event,
    Heard,
    Interrupted,
    NoReply,
    Returned,
    TimeUp,
)
from voiceassist.session.outputs import (
    CautionSpoken,
    ConditionChange,
    Ended,
    Listen,
    Output,
    ReadingTaken,
    StepSkipped,
    VerdictGiven,
    Withdrawn,
)
from voiceassist.session.session import Session
from voiceassist.session.states import State

values = st.decimals("-5", "40", places=2).flatmap(
    lambda value: st.sampled_from(["V", "mV", "A", "kΩ", "°C"]).map(
        lambda symbol: Reading(value, unit(symbol))
    )
)
answers = st.sampled_from(
    [*SHORT.values(), *(Answer(n) for n in ("wheel", "dead", "no-tool", "feed", "power-battery"))]
)
#: Few jobs are finished early; a machine that often did would seldom get far.
commands = st.sampled_from([Command(name) for name in sorted(COMMANDS - {"finish"})])


class Job(RuleBasedStateMachine):
    """One job, driven by a technician who says anything at any time."""

    def __init__(self) -> None:
        super().__init__()
        self.bench = self._job()
        self.given: list[tuple[Session, tuple[Output, ...], Session]] = []

    def _job(self) -> Bench:
        facts = (("rated-current", "10 A"),)
        return Bench(TEXT, library=library, facts=facts, meter=METER)

    def _give(self, event: Event) -> None:
        before = self.bench.session
        self.bench.give(event)
        self.given.append((before, self.bench.outputs, self.bench.session))

    def _open(self) -> bool:
        return self.bench.state is not State.CLOSED

    @precondition(_open)
    @rule(times=st.integers(1, 12))
    def goes_on_as_on_a_healthy_vehicle(self, times: int) -> None:
        for _ in range(times):
            if self._open():
                said = healthy(self.bench)
                self._give(said if isinstance(said, TimeUp) else Heard("", (said,), certain=True))

    @precondition(_open)
    @rule(said=st.one_of(values, answers, commands), certain=st.booleans())
    def says(self, said: Meaning, certain: bool) -> None:
        self._give(Heard("", (said,), certain))

    @precondition(_open)
    @rule(said=st.sampled_from([Command("finish"), Answer("affirm")]))
    def may_finish(self, said: Meaning) -> None:
        self._give(Heard("", (said,), certain=True))

    @precondition(lambda self: not self._open())
    @rule()
    def opens_another(self) -> None:
        self.bench, self.given = self._job(), []

    @precondition(_open)
    @rule(said=values, certain=st.booleans())
    def corrects(self, said: Reading, certain: bool) -> None:
        self._give(Heard("", (Correction(said),), certain))

    @precondition(_open)
    @rule(away_s=st.sampled_from([5.0, 900.0]))
    def comes_back(self, away_s: float) -> None:
        self._give(Returned(away_s))

    @precondition(_open)
    @rule()
    def says_nothing(self) -> None:
        self._give(NoReply())

    @precondition(_open)
    @rule()
    def cuts_in(self) -> None:
        given = self.given[-1][1] if self.given else ()
        unheard = tuple(o.name for o in given if isinstance(o, CautionSpoken))
        before = self.bench.session
        self._give(Interrupted(unheard))
        assert replace(self.bench.session, unheard_cautions=before.unheard_cautions) == before
        assert self.bench.session.unheard_cautions >= set(unheard)

    @precondition(_open)
    @rule()
    def mumbles(self) -> None:
        before = self.bench.session
        self._give(Heard("mumble"))
        if before.state not in {State.NOTE}:
            same = replace(self.bench.session, now_s=before.now_s, misses=before.misses)
            assert same == before

    @rule()
    def cannot_begin_again(self) -> None:
        before = self.bench.session
        try:
            self.bench.engine.handle(before, Begin())
        except SessionError:
            return
        raise AssertionError("a session began twice")

    @invariant()
    def ends_once_and_listens_until_then(self) -> None:
        for _, outputs, after in self.given[-1:]:
            ended = [o for o in outputs if isinstance(o, Ended)]
            assert (after.state is State.CLOSED) == (len(ended) == 1)
            assert isinstance(outputs[-1], Ended if ended else Listen)

    @invariant()
    def waits_at_one_step_only(self) -> None:
        for _, outputs, after in self.given[-1:]:
            listens = [o for o in outputs if isinstance(o, Listen)]
            assert [o.step for o in listens] == [after.step] * len(listens)
            assert len(listens) <= 1

    @invariant()
    def every_accepted_reading_enters_the_record_exactly_once(self) -> None:
        for before, outputs, after in self.given[-1:]:
            taken = [o.step for o in outputs if isinstance(o, ReadingTaken)]
            new = [r.step for r in after.ledger[len(before.ledger) :] if r.meaning or r.by_itself]
            assert len(taken) == len(set(taken))
            assert set(taken) <= set(new)

    @invariant()
    def no_step_goes_on_before_its_cut_off_caution_was_told(self) -> None:
        for before, outputs, _ in self.given[-1:]:
            at_the_step = before.resume is None and not before.finding
            step = self.bench.engine.setup.procedure.step(before.step)
            cautions = {caution.name for caution in step.cautions}
            taken = [o for o in outputs if isinstance(o, ReadingTaken) and o.step == before.step]
            if at_the_step and before.unheard_cautions & cautions and not before.correcting:
                assert not taken

    @invariant()
    def nothing_ever_leaves_the_ledger(self) -> None:
        for before, _, after in self.given[-1:]:
            kept = [replace(r, superseded=False) for r in before.ledger]
            now = [replace(r, superseded=False) for r in after.ledger]
            assert now[: len(kept)] == kept

    @invariant()
    def what_stops_counting_is_told_to_the_record(self) -> None:
        for before, outputs, after in self.given[-1:]:
            if after.correcting:  # not settled yet: it may still be left as it was
                continue
            lost = {r.step for r in before.ledger if not r.superseded} - {
                r.step for r in after.ledger if not r.superseded
            }
            told = {o.step for o in outputs if isinstance(o, Withdrawn | StepSkipped)}
            assert lost <= told

    @invariant()
    def no_verdict_without_its_condition(self) -> None:
        for before, outputs, _ in self.given[-1:]:
            judged = [
                o for o in outputs if isinstance(o, VerdictGiven) and o.verdict != "not valid"
            ]
            for verdict in judged[:1]:
                step = self.bench.engine.setup.procedure.step(verdict.step)
                if verdict.step != before.step or before.correcting or not step.needs:
                    continue
                prompt = before.at_step.prompt  # a question may stand between
                asked = {o.name: o.state for o in prompt if isinstance(o, ConditionChange)}
                known = dict(before.conditions) | asked  # a reading tells that they were made
                corrects = any(isinstance(o, ReadingTaken) and o.corrects for o in outputs)
                assert corrects or all(known.get(n.condition) == n.state for n in step.needs)


TestAnyJob = Job.TestCase
TestAnyJob.settings = settings(
    max_examples=100,
    stateful_step_count=40,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


# --- what the machine found ---


def _job_at(step: str, state: State) -> Job:
    """The job on a healthy vehicle, come so far."""
    job = Job()
    while (job.bench.step, job.bench.state) != (step, state):
        job.goes_on_as_on_a_healthy_vehicle(times=1)
    return job


def test_a_lamp_is_no_answer_where_a_voltage_is_doubted() -> None:
    job = _job_at("command", State.MEASURE)
    job.bench.say(volts("0.02"))
    assert "Is the module plug in?" in job.bench.texts()
    doubted = job.bench.session
    job.says(Lamp("bright"), certain=True)
    assert job.bench.session == doubted
    assert "That does not fit here. 0.02 V reads as if" in job.bench.texts()


def test_a_limit_that_goes_by_a_change_asked_for_in_the_same_breath_judges_the_reading() -> None:
    job = _job_at("command", State.MEASURE)
    assert "Set the fan control to its lowest speed. Voltage" in job.bench.texts()
    assert "8.4 V. Good." in job.bench.after(volts("8.4")).texts()


@pytest.mark.parametrize("command", ["finish", "park"])
def test_work_is_still_to_be_done_after_the_end_was_asked_for_there_and_refused(
    command: str,
) -> None:
    job = _job_at("trim", State.DO)
    job.bench.say(*([command, command] if command == "finish" else [command]))
    job.cuts_in()
    job.goes_on_as_on_a_healthy_vehicle(times=1)
    assert (job.bench.step, job.bench.state) == ("trim", State.DO)
    job.goes_on_as_on_a_healthy_vehicle(times=1)
    assert job.bench.step == "cab-lamp"
