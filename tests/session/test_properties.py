"""What holds whatever is said, in whatever order."""

import pytest
from bench import SHORT, Bench, amps, volts
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from voiceassist.language.meanings import COMMANDS, Command, Correction, Meaning, OverRange
from voiceassist.session.outputs import CautionSpoken, Ended, Listen, ReadingTaken, VerdictGiven
from voiceassist.session.states import State

anything: st.SearchStrategy[Meaning] = st.one_of(
    st.sampled_from(list(SHORT.values())),
    st.sampled_from([Command(name) for name in sorted(COMMANDS)]),
    st.sampled_from(["0.05", "2.5", "4.2", "8.4", "12.3", "12.6", "99"]).map(volts),
    st.sampled_from(["7.2", "19"]).map(amps),
    st.just(OverRange()),
    st.sampled_from(["8.4", "12.6"]).map(volts).map(Correction),
)
#: Random talk seldom gets far; leaning on the healthy path reaches every stage.
talk = st.lists(st.one_of(st.none(), st.none(), anything), max_size=60)


@pytest.mark.parametrize("certain", [True, False])
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(said=talk)
def test_whatever_is_said_the_session_keeps_its_promises(
    said: list[Meaning | None], certain: bool
) -> None:
    bench = Bench(certain=certain)
    for one in said:
        if bench.state is State.CLOSED:
            break
        before = bench.session
        bench.say(one if one is not None else likely(bench))
        check_promises(bench, before_ledger=len(before.ledger), before_state=before.state)


def likely(bench: Bench) -> Meaning | str:
    known = bench.step in bench.engine.setup.procedure.steps and bench.step not in _ASKED
    if bench.state in {State.CAUTION, State.CONDITION} or known:
        return bench.healthy()
    return "done" if bench.state is State.DO else "affirm"


_ASKED = frozenset({"turns-freely", "motor-current"})


def check_promises(bench: Bench, *, before_ledger: int, before_state: State) -> None:
    session, outputs = bench.session, bench.outputs
    ended = [o for o in outputs if isinstance(o, Ended)]
    taken = [o for o in outputs if isinstance(o, ReadingTaken)]
    judged = [o for o in outputs if isinstance(o, VerdictGiven) and o.verdict != "not valid"]
    assert (session.state is State.CLOSED) == bool(ended)
    assert bool(ended) != isinstance(outputs[-1], Listen)
    # An accepted reading enters the ledger exactly once, and nothing ever leaves it.
    grown = len(session.ledger) - before_ledger
    assert grown in {0, 1}
    assert len(taken) <= grown
    # No verdict counts before caution and condition are settled.
    if before_state in {State.CAUTION, State.CONDITION}:
        corrected = any(o.corrects for o in taken)
        assert corrected or not judged
    if taken and taken[0].step in bench.engine.setup.procedure.steps:
        check_conditions(bench, taken[0].step, corrected=taken[0].corrects)
    # A warning comes before anything else is asked at its step.
    spoken = [o for o in outputs if o.text and not isinstance(o, ReadingTaken | VerdictGiven)]
    for i, output in enumerate(spoken):
        if isinstance(output, CautionSpoken) and output.acknowledge:
            assert not any(o.event == "condition" and o.step == output.step for o in spoken[:i])


def check_conditions(bench: Bench, step: str, *, corrected: bool) -> None:
    """A reading that counts was taken with the vehicle as its step needs it."""
    before = bench.session.previous
    if before is None or before.step != step:
        return
    assert before.state in {State.MEASURE, State.LAMP, State.ASK, State.IDENTIFY}
    if corrected:  # judged as if it had been given at the time
        return
    for need in bench.engine.setup.procedure.step(step).needs:
        assert before.condition(need.condition) == need.state
