"""A mark tells what was found and what it cost, and sets the careful above the careless."""

from statistics import mean

import pytest
from drawn_jobs import SKILLS, trained
from rehearse.test_bench import DESK, PROCEDURE, bench, bring, do

from voiceassist.reason.adviser import Adviser
from voiceassist.reason.likely import likely
from voiceassist.reason.places import places_of
from voiceassist.reason.sampling import sampled, vehicle_of
from voiceassist.rehearse.bench import Bench
from voiceassist.rehearse.marks import Completed, Mark, Strictness, mark, right_findings
from voiceassist.rehearse.telling import sentences
from voiceassist.rehearse.wishes import Verb, Wish

FAULT = "module-stuck-fast"


@pytest.fixture(scope="module")
def adviser() -> Adviser:
    return Adviser(DESK, sampled(PROCEDURE, places_of(DESK), likely(PROCEDURE), vehicles=24))


def marked(
    adviser: Adviser, on: Bench, named: str, how: Strictness = Strictness.MILD, fault: str = FAULT
) -> Mark:
    untouched = vehicle_of(PROCEDURE, PROCEDURE.faults[fault] if fault else None, 0.5, 7)
    return mark(adviser, Completed(fault, named, tuple(on.acts), untouched), how)


def quick() -> Bench:
    on = bench(FAULT)
    bring(on, key="run", fan_control="lowest")
    do(on, Verb.VOLTS, "command wire", "earth pin")
    do(on, Verb.VOLTS, "motor wire", "earth pin")
    return on


def test_who_finds_the_fault_in_a_few_telling_tests_gets_nearly_all_points(
    adviser: Adviser,
) -> None:
    found = marked(adviser, quick(), "module")
    assert found.found
    assert found.points >= 90
    assert found.condemned == ()
    assert found.looked[-1].belief.share("module") > 0.9


def test_a_good_part_that_is_condemned_is_named_and_costs(adviser: Adviser) -> None:
    found = marked(adviser, quick(), "motor")
    assert not found.found
    assert found.condemned == ("fan motor",)
    assert found.points < 50


def test_a_test_that_could_tell_nothing_any_more_is_told(adviser: Adviser) -> None:
    on = quick()
    do(on, Verb.VOLTS, "motor wire", "earth pin")
    assert len(marked(adviser, on, "module").idle) == 1
    assert marked(adviser, on, "module").points < marked(adviser, quick(), "module").points


def read(on: Bench, *steps: str) -> None:
    for step in steps:
        on.do(Wish(Verb.READ), PROCEDURE.step(step))


def led(adviser: Adviser, on: Bench, named: str = "module") -> Mark:
    untouched = vehicle_of(PROCEDURE, PROCEDURE.faults[FAULT], 0.5, 7)
    done = Completed(
        FAULT, named, tuple(on.acts), untouched,
        led=True, put_right=tuple(on.put_right), many=on.many,
    )  # fmt: skip
    return mark(adviser, done)


def test_where_the_procedure_leads_its_own_order_costs_nothing(adviser: Adviser) -> None:
    on = bench(FAULT)
    bring(on, module_plug="out", key="run")
    read(on, *["feed"] * 16)
    bring(on, key="off", module_plug="in")
    bring(on, key="run", fan_control="lowest")
    read(on, "command-slow", "motor-slow", "motor-slow", "motor-slow")
    found = led(adviser, on)
    assert found.found
    assert found.minutes > 2 * found.quickest.minutes
    assert len(found.idle) >= 4
    assert found.points == 100
    assert marked(adviser, on, "module").points < 100
    told = " ".join(sentences(found, PROCEDURE, DESK.book))
    assert "The procedure has these, though they could tell nothing new" in told
    do(on, Verb.VOLTS, "motor wire", "earth pin")  # again, and of his own choice
    assert led(adviser, on).points == 99


def test_what_comes_after_the_right_repair_is_no_part_of_the_diagnosis(adviser: Adviser) -> None:
    on = quick()
    before = led(adviser, on)
    on.is_put_right("module")
    read(on, "command-slow", "motor-slow")
    assert len(led(adviser, on).looked) == len(before.looked) == 2
    assert led(adviser, on).minutes == before.minutes
    assert led(adviser, on, named="").found  # whatever is named after it


def test_a_good_part_that_was_put_right_on_the_way_counts_though_the_fault_was_found(
    adviser: Adviser,
) -> None:
    on = quick()
    on.is_put_right("motor")
    on.is_put_right("module")
    found = led(adviser, on)
    assert found.found
    assert found.condemned == ("fan motor",)


def test_the_right_cause_named_without_a_test_is_a_guess_and_costs(adviser: Adviser) -> None:
    guessed = marked(adviser, bench(FAULT), "module")
    assert guessed.found
    assert dict(guessed.off) == {"guess": 20}
    told = " ".join(sentences(guessed, PROCEDURE, DESK.book))
    assert "Taken off: 20 for a cause that was guessed." in told
    assert "guess" not in dict(marked(adviser, quick(), "module").off)
    assert "guess" not in dict(led(adviser, bench(FAULT)).off)


def test_slips_count_more_where_marks_are_strict(adviser: Adviser) -> None:
    on = quick()
    bring(on, module_plug="out")  # with the key in run
    mild, strict = (marked(adviser, on, "module", how) for how in Strictness)
    assert len(mild.slips) == 1
    assert strict.points < mild.points


def test_a_test_of_his_own_is_weighed_too(adviser: Adviser) -> None:
    on = bench(FAULT)
    bring(on, key="run", fan_control="lowest")
    do(on, Verb.VOLTS, "motor wire", "body earth")  # no step is read so
    (looked,) = marked(adviser, on, "module").looked
    assert looked.bits is not None
    assert looked.bits > 0.1
    assert looked.belief.share("module") > 0.3


def test_the_quickest_way_names_the_right_cause(adviser: Adviser) -> None:
    course = marked(adviser, quick(), "module").quickest
    assert course.finding in right_findings(PROCEDURE, FAULT)
    assert 0 < len(course.steps) < len(PROCEDURE.steps)
    assert course.share >= 0.95


def test_the_mark_is_told_in_sentences_that_name_the_fault_first(adviser: Adviser) -> None:
    on = quick()
    bring(on, module_plug="out")
    told = list(sentences(marked(adviser, on, "motor"), PROCEDURE, DESK.book))
    assert told[0] == "The fault was: module stuck fast."
    assert "You blamed a good part: the fan motor." in told
    assert told[-2].startswith("Your mark is ")
    assert told[-1].startswith(
        "Taken off: 50 for the cause that was not named, and 20 for a good part"
    )
    assert any("Mind this" in sentence for sentence in told)


@pytest.mark.slow
def test_marks_set_three_kinds_of_trainee_in_their_order(adviser: Adviser) -> None:
    """Of one who guesses, one who follows the file and one who follows the advice."""
    faults = ("module-stuck-fast", "earth-joint-loose", "command-broken", "fuse-blown")
    means = [
        mean(trained(adviser, fault, skill, i).points for i, fault in enumerate(faults))
        for skill in SKILLS
    ]
    assert means == sorted(means)
    assert means[0] < means[1] - 10
