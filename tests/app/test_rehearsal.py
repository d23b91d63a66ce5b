"""A rehearsal beside the job: what is likely to be said, and what is looked into meanwhile."""

from pathlib import Path
from threading import Event

import pytest

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.progress import no_progress
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.rehearsal import Rehearsal, begin, bench_of
from voiceassist.app.settings.settings import Settings
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit
from voiceassist.reason.sampling import sampled
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.marks import Strictness
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.actions.advised import SURE
from voiceassist.session.outputs import Advice
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
    assert practised.late(Session(), 60.0) is None
    assert [*waits, practised.waiting] == [False, True, False]
    known = practised.adviser
    practised.answer(Wish(Verb.SURE).name, Session())
    assert practised.adviser.samples is known.samples


def test_how_sure_is_answered_without_waiting_for_a_test_that_is_looked_into(
    shop: build.Components, monkeypatch: pytest.MonkeyPatch
) -> None:
    practised, go_on = begun(shop, Mode.FREE), Event()

    def slowly(*arguments: object) -> object:
        assert go_on.wait(60)
        return sampled(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr("voiceassist.reason.adviser.sampled", slowly)
    practised.answer(Wish(Verb.VOLTS, "battery minus post", "battery plus post").name, Session())
    practised.late(Session(), 0.0)
    told = practised.advise(Advice(asked=SURE), Session()).text
    assert told.startswith("Your last test is still being worked out, and is not counted yet. ")
    assert "percent:" in told
    assert practised.waiting
    go_on.set()
    practised.late(Session(), 60.0)
    assert "not counted" not in practised.advise(Advice(asked=SURE), Session()).text


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


def relay_bench(shop: build.Components) -> Bench:
    procedure = build.procedure("relay-and-socket").procedure
    settled = Settled(Mode.FREE, "contacts-burnt", 7, Strictness.MILD)
    return bench_of(settled, setup_of(procedure, shop))


def test_of_several_things_it_is_told_how_they_are(shop: build.Components) -> None:
    bench = relay_bench(shop)
    assert bench.do(Wish(Verb.LOOK)).told == "The work lamps are off."
    assert bench.do(Wish(Verb.CHANGE, "work lamps")).told == "The work lamps are changed."
    assert bench.do(Wish(Verb.CHANGE, "relay")).told == "The relay is changed."


def test_a_voltmeter_with_its_red_lead_in_the_current_socket_joins_both_places(
    shop: build.Components,
) -> None:
    """An ammeter is nearly a wire, so that on the posts its fuse blows; common practice."""
    bench = relay_bench(shop)
    posts = Wish(Verb.VOLTS, "battery plus post", "battery minus post")
    assert bench.do(posts).test is not None
    bench.do(Wish(Verb.BRING, "meter leads", "10 A"))
    for verb in (Verb.VOLTS, Verb.OHMS):
        act = bench.do(Wish(verb, "battery plus post", "battery minus post"))
        assert act.test is None
        assert "joins both places like a wire. The meter's fuse has blown" in act.told
        assert act.slips == (act.told,)
    bench.do(Wish(Verb.BRING, "meter leads", "volts"))
    assert bench.do(posts).slips == ()
