"""A rehearsal beside the job: what is likely to be said, and what is looked into meanwhile."""

from pathlib import Path

import pytest

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.progress import no_progress
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.rehearsal import Rehearsal, begin
from voiceassist.app.settings.settings import Settings
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit
from voiceassist.rehearse.marks import Strictness
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.session import Session

VOLTS = Expectation(("voltage",), unit("V"))


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> build.Components:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return build.Components(Settings())


def begun(shop: build.Components, mode: Mode) -> Rehearsal:
    written = build.procedure("rested-battery")
    fault = next(iter(written.procedure.faults))
    settled = Settled(mode, fault, 7, Strictness.MILD)
    return begin(settled, setup_of(written.procedure, shop), written, shop, no_progress)


def test_a_test_of_his_own_is_looked_into_once_while_nothing_is_said(
    shop: build.Components,
) -> None:
    practised = begun(shop, Mode.FREE)
    waits = [practised.waiting]
    practised.answer(Wish(Verb.VOLTS, "battery minus post", "battery plus post").name, Session())
    waits.append(practised.waiting)
    assert practised.late(Session(), 0.0) is None
    assert [*waits, practised.waiting] == [False, True, False]
    known = practised.adviser
    practised.answer(Wish(Verb.SURE).name, Session())
    assert practised.adviser.samples is known.samples


def test_what_the_meter_shows_is_expected_only_where_it_is_to_be_told(
    shop: build.Components,
) -> None:
    led = begun(shop, Mode.LED)
    step = next(iter(led.setup.procedure.circuit.probes)) if led.setup.procedure.circuit else ""
    here = Session(step=step)
    assert led.expects(VOLTS, here).shown == ()
    led.answer(Wish(Verb.READ).name, here)
    assert len(led.expects(VOLTS, here).shown or ()) == 1
    assert led.expects(Expectation(), here).shown is None
    assert begun(shop, Mode.FREE).expects(VOLTS, here).shown is None
