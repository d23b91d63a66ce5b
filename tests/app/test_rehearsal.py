"""A rehearsal beside the job: what is likely to be said, and what is looked into meanwhile."""

from pathlib import Path
from threading import Event

import pytest

from voiceassist.app import build
from voiceassist.app.desk.prove import setup_of
from voiceassist.app.progress import no_progress
from voiceassist.app.rehearsal.asked import Mode, Settled
from voiceassist.app.rehearsal.beginning import begin
from voiceassist.app.rehearsal.rehearsal import Rehearsal
from voiceassist.app.rehearsal.vehicle import bench_of
from voiceassist.app.settings.settings import Settings
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Answer
from voiceassist.measure.units import unit
from voiceassist.reason.sampling import sampled
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.dial import ranges
from voiceassist.rehearse.marks import Strictness
from voiceassist.rehearse.wishes import Verb, Wish, choices, read_ways
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


def relay_bench(shop: build.Components, name: str = "relay-and-socket") -> Bench:
    procedure = build.procedure(name).procedure
    fault = "contacts-burnt" if name == "relay-and-socket" else next(iter(procedure.faults))
    settled = Settled(Mode.FREE, fault, 7, Strictness.MILD)
    return bench_of(settled, setup_of(procedure, shop))


POSTS = ("battery plus post", "battery minus post")


def said_to(bench: Bench, words: str, shop: build.Components) -> str:
    """What the bench answers to words that are said where nobody leads."""
    setup, ways = bench.setup, read_ways(shop.files["rehearse.toml"], "rehearse.toml")
    can = choices(setup.procedure, ways, ranges(setup))
    (meant,) = shop.language.compose(Expectation(choices=can)).parse_strictly(words).meanings
    assert isinstance(meant, Answer)
    wish = Wish.named(meant.name)
    assert wish is not None
    return bench.do(wish).told


def test_a_range_that_is_too_small_shows_over_range_and_a_large_one_fewer_digits(
    shop: build.Components,
) -> None:
    """The highest range first; common practice, no source. Steps by the meter's data sheet."""
    bench = relay_bench(shop)
    assert said_to(bench, "set the meter to volts six", shop) == "The meter is set to 6 V."
    over = bench.do(Wish(Verb.VOLTS, *POSTS))
    assert over.told.startswith("The meter shows over range: it is set to 6 V.")
    assert over.test is None
    assert over.slips == (over.told,)
    for words, digits in (("six hundred volts range", 1), ("meter to sixty volts", 2)):
        said_to(bench, words, shop)
        act = bench.do(Wish(Verb.VOLTS, *POSTS))
        figure = act.told.removeprefix("The meter shows ").removesuffix(" V.")
        assert len(figure.partition(".")[2]) == digits
        assert act.slips == ()


def test_a_meter_set_to_ohms_on_the_battery_is_a_slip_and_on_a_dead_place_only_no_reading(
    shop: build.Components,
) -> None:
    """An ohmmeter feeds its own current and is no load for a battery; common practice."""
    bench = relay_bench(shop)
    assert said_to(bench, "ohms range", shop) == "The meter is set to ohms."
    live = bench.do(Wish(Verb.VOLTS, *POSTS))
    assert "which kills some meters: set it to volts first" in live.told
    assert live.slips == (live.told,)
    dead = bench.do(Wish(Verb.VOLTS, "pin eighty-seven", "body earth"))
    assert "does not show that: set it to volts first" in dead.told
    assert (dead.slips, dead.test) == ((), None)
    assert said_to(bench, "set the meter to volts", shop) == "The meter is set to volts."
    assert bench.do(Wish(Verb.VOLTS, *POSTS)).test is not None


@pytest.mark.parametrize("name", ["relay-and-socket", "rested-battery"])
def test_leads_in_the_current_socket_blow_the_meters_fuse_on_the_posts_until_they_are_back(
    shop: build.Components, name: str
) -> None:
    """With a socket of the procedure's own, and without; common practice."""
    bench = relay_bench(shop, name)
    told = said_to(bench, "ten amp socket", shop)
    assert told == "The red lead is in the current socket."
    act = bench.do(Wish(Verb.VOLTS, *POSTS))
    assert "The meter's fuse has blown" in act.told
    assert act.slips == (act.told,)
    said_to(bench, "red lead to the volts socket", shop)
    assert bench.do(Wish(Verb.VOLTS, *POSTS)).slips == ()


def test_a_range_that_the_meter_does_not_have_is_answered_with_those_it_has(
    shop: build.Components,
) -> None:
    told = begun(shop, Mode.FREE).instead("set the meter to volts twenty", lambda words: False)
    has = "volts, or six volts, or sixty volts, or six hundred volts"
    assert told == f"This meter cannot be set so. It can be set to {has}."
    assert begun(shop, Mode.LED).instead("set the meter to volts", lambda words: False) == ""


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
