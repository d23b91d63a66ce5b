"""Whole jobs in words, done by simulated technicians on simulated vehicles."""

import pytest
from benchmarks.technicians import JOBS_SHOWN, Count, counted, job_of, setup_named
from benchmarks.words import GOALS, JOBS, SHOP, job
from technicians import Forgetful, WrongHanded

from voiceassist.session.session import Detail


@pytest.fixture(scope="module")
def counts() -> dict[str, Count]:
    return counted(JOBS_SHOWN)


@pytest.mark.slow
@pytest.mark.census
def test_no_slip_of_a_technician_leads_to_a_wrong_finding(counts: dict[str, Count]) -> None:
    assert [wrong for count in counts.values() for wrong in count.wrong] == []


@pytest.mark.slow
@pytest.mark.census
def test_every_job_comes_to_its_end(counts: dict[str, Count]) -> None:
    assert [open_ for count in counts.values() for open_ in count.still_open] == []


@pytest.mark.slow
@pytest.mark.census
def test_no_vehicle_is_left_otherwise_than_found(counts: dict[str, Count]) -> None:
    assert [left for count in counts.values() for left in count.in_pieces] == []


@pytest.mark.parametrize("detail", Detail)
def test_the_fan_job_is_told_in_few_words(detail: Detail) -> None:
    """Bounds that the whole job, repaired and proved, is held to; counted as a voice says it."""
    done = job("heater-fan-module", "module-stuck-fast", detail)
    assert done.outcome == "repaired"
    assert done.words(SHOP.to_words) <= GOALS[detail]
    assert detail is not Detail.NORMAL or done.exchanges <= 22


@pytest.mark.parametrize("title", [title for title in JOBS if title != "fan module"])
def test_each_job_takes_a_third_fewer_words_and_exchanges_than_before_it_said_less(
    title: str,
) -> None:
    name, fault, *before = JOBS[title]
    done = {detail: job(name, fault, detail) for detail in Detail}
    words = [done[detail].words(SHOP.to_words) for detail in Detail]
    for now, then in zip((*words, done[Detail.NORMAL].exchanges), before, strict=True):
        assert 3 * now <= 2 * then
    assert {each.outcome for each in done.values()} == {"repaired" if fault else "no-fault"}


def test_what_he_was_about_to_say_is_left_unsaid_where_he_is_asked_something_else() -> None:
    """With his leads swapped at a dead feed he reads minus nothing, which is taken as it is; the
    same reading with the leads right must not answer the step behind it."""
    done = job_of(WrongHanded, setup_named("window-motor"), "door-wire-broken", 44)
    assert done.session.finding == "door-wire"


def test_headlamps_that_were_left_on_are_off_at_the_end() -> None:
    done = job_of(Forgetful, setup_named("engine-fan"), "contacts-stay-open", 43)
    assert done.conditions["headlamps"] == "off"


def test_a_repair_is_not_doubted_for_a_key_that_was_left_off() -> None:
    done = job_of(Forgetful, setup_named("fuse-blows-again"), "left-bulb-too-large", 143)
    assert (done.session.finding, done.outcome) == ("left-lamp", "repaired")


def test_a_lamp_that_was_held_without_the_switch_on_condemns_no_earth() -> None:
    done = job_of(Forgetful, setup_named("relay-and-socket"), "coil-open", 133)
    assert (done.session.finding, done.outcome) == ("relay-coil", "repaired")


def test_a_fault_that_comes_and_goes_is_there_only_while_its_place_is_moved() -> None:
    done = job_of(WrongHanded, setup_named("comes-and-goes"), "fuse-contact-loose", 144)
    assert (done.session.finding, done.outcome) == ("fuse-box-bad", "repaired")
