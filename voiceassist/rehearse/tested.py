"""Tests of a trainee's own, which no step of the procedure makes, put among those of the table."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from voiceassist.circuit.model import Probe
from voiceassist.procedure.model import Procedure
from voiceassist.reason.adviser import Adviser
from voiceassist.reason.infer import Seen
from voiceassist.reason.samples import Place, Samples
from voiceassist.reason.sampling import NOTHING
from voiceassist.rehearse.acts import Act, Test

#: So many tests of his own are looked into; each takes a part of a second.
_MOST_OWN = 16


def with_tests(adviser: Adviser, acts: Sequence[Act]) -> tuple[Adviser, tuple[Act, ...]]:
    """An adviser that knows every test in ``acts``, and the acts with each test by its name there.

    Tests beyond the first few of his own keep no name, and tell nothing.
    """
    wiser, named = by_name(adviser, acts)
    return wiser.knowing(_places(named)), named


def by_name(adviser: Adviser, acts: Sequence[Act]) -> tuple[Adviser, tuple[Act, ...]]:
    """The same with the table as it is: a test that it lacks tells nothing yet."""
    procedure, own = _with_probes(adviser.setup.procedure, acts)
    wiser = replace(adviser, setup=replace(adviser.setup, procedure=procedure))
    return wiser, tuple(_named(act, own, adviser.samples) for act in acts)


def is_known(adviser: Adviser, acts: Sequence[Act]) -> bool:
    """Whether the table has every test in ``acts`` already."""
    _, named = by_name(adviser, acts)
    return all(place in adviser.samples.places for place in _places(named))


def seen_in(adviser: Adviser, act: Act) -> Seen | None:
    """What an act let one see, at its place in the table; None where it tells nothing."""
    test = act.test
    place = adviser.samples.at(test.step, test.states) if test is not None and test.step else None
    if test is None or place is None or test.sight.word == NOTHING:
        return None
    return adviser.seen_at(place, test.sight)


def _with_probes(procedure: Procedure, acts: Sequence[Act]) -> tuple[Procedure, dict[Probe, str]]:
    """The procedure with a probe for each test that no step makes, and the names of these."""
    circuit = procedure.circuit
    assert circuit is not None
    probes = [act.test.probe for act in acts if act.test and not act.test.step and act.test.probe]
    own = {probe: _name(probe) for probe in dict.fromkeys(probes[:_MOST_OWN])}
    more = {name: probe for probe, name in own.items()}
    wired = replace(circuit, probes={**circuit.probes, **more})
    return replace(procedure, circuit=wired), own


def _named(act: Act, own: dict[Probe, str], table: Samples) -> Act:
    test = act.test
    if test is None:
        return act
    if test.probe is not None:
        return replace(act, test=replace(test, step=test.step or own.get(test.probe, "")))
    return replace(act, test=_of_question(test, table))


def _of_question(test: Test, table: Samples) -> Test:
    """What is asked is answered alike in every state of the vehicle."""
    states = next((p.states for p in table.places if p.step == test.step), test.states)
    return replace(test, states=states)


def _places(acts: Sequence[Act]) -> Iterator[Place]:
    for act in acts:
        if act.test is not None and act.test.step:
            yield Place(act.test.step, act.test.states)


def _name(probe: Probe) -> str:
    """What a test of his own is called: "voltage from motor wire to body earth"."""
    if probe.red:
        return f"{probe.shows} from {probe.red} to {probe.black}"
    return f"{probe.shows} in {probe.through}"
