"""Facts that are one of some words, and steps that are only for some vehicles."""

import re
from pathlib import Path
from textwrap import dedent

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity
from voiceassist.procedure.model import Kind

STEPS = """
feed: {measure: voltage at the seat, accept: at least 11 V, fail: weak}
mat: {ONLY, measure: resistance of the mat, accept: 1 Ω to 3 Ω, fail: weak}
end: {do: look, then: fine}
"""
SEATS = "facts:\n  seats: {say: which seats are fitted, words: [plain, heated]}"
HEATED = "only-if: {seats: heated}"


def file(only: str = HEATED, head: str = SEATS, steps: str = STEPS) -> str:
    return small(steps.replace("ONLY", only), head=head)


def test_a_fact_of_words_is_asked_for_first_as_a_question() -> None:
    procedure = good(file())
    first = procedure.steps[procedure.first]
    assert (first.kind, first.fact, first.text) == (Kind.ASK, "seats", "which seats are fitted")
    assert [reply.phrases for reply in first.replies] == [("plain",), ("heated",)]
    assert set(first.routes.values()) == {"feed"}


def test_each_word_can_have_ways_to_say_it() -> None:
    words = "words: {manual: [manual, stick shift], auto: [automatic, auto]}"
    head = f"facts:\n  box: {{say: which gearbox is it, {words}}}"
    (fact,) = good(file("only-if: {box: [auto]}", head)).words.values()
    assert [reply.phrases for reply in fact.replies] == [
        ("manual", "stick shift"),
        ("automatic", "auto"),
    ]


def test_yes_and_no_are_words_too_and_a_value_is_not_asked_for() -> None:
    head = "facts:\n  tow-bar: {say: does it have a tow bar, words: [yes, no], value: no}"
    procedure = good(file("only-if: {tow-bar: yes}", head))
    assert procedure.first == "feed"
    assert procedure.words["tow-bar"].value == "negative"
    assert procedure.step("mat").only_if == (("tow-bar", ("affirm",)),)


def test_facts_of_numbers_and_of_words_are_asked_for_one_after_another() -> None:
    head = f"{SEATS}\n  rating: {{say: the current on the label, unit: A}}"
    procedure = good(file(head=head))
    assert list(procedure.steps)[:3] == ["rating", "seats", "feed"]
    assert procedure.steps["rating"].routes == {"pass": "seats"}


def test_a_table_goes_by_a_fact_of_words() -> None:
    table = "{by: seats, table: {plain: 1 V to 2 V, heated: 3 V to 4 V}}"
    steps = f"feed: {{measure: voltage at the seat, accept: {table}, fail: weak, then: fine}}"
    found = good(small(steps, head=SEATS)).step("feed").table
    assert found is not None
    assert [row.key for row in found.rows] == ["plain", "heated"]


@pytest.mark.parametrize(
    ("head", "only", "path", "words"),
    [
        ("{say: which, words: [heated]}", HEATED, "facts.seats.words", "give two words or more"),
        ("{say: which}", HEATED, "facts.seats", "a fact needs its 'unit:', or the 'words:'"),
        ("{say: which, words: heated}", HEATED, "facts.seats.words", "a list of words, or a"),
        (
            "{say: which, words: [plain, heated], unit: V}",
            HEATED,
            "facts.seats.unit",
            "a fact has a unit or words, not both",
        ),
        (
            "{say: which, words: [plain, heated], value: heatd}",
            HEATED,
            "facts.seats.value",
            "'heatd' is none of its words; did you mean 'heated'?",
        ),
        (
            "{say: which, words: [plain, 2-way]}",
            "only-if: {seats: plain}",
            "facts.seats.words",
            "'2-way' cannot be said as it is",
        ),
        (
            "{say: which, words: {plain: [seat], heated: [seat]}}",
            HEATED,
            "facts.seats.words.heated",
            "'seat' is a way to say 'plain' too",
        ),
        (
            "{say: which, words: {yes: [yup], no: [nope]}}",
            "only-if: {seats: yes}",
            "facts.seats.words.yes",
            "'yes' is said as usual; list it without ways to say it",
        ),
        (
            "{say: which, words: [done, heated]}",
            HEATED,
            "facts.seats.words",
            "an answer cannot be called 'done'",
        ),
        ("{say: which, words: [plain, heated]}", "only-if: {}", "steps.mat.only-if", "is empty"),
        (
            "{say: which, words: [plain, heated]}",
            "only-if: {seats: []}",
            "steps.mat.only-if.seats",
            "is empty",
        ),
        (
            "{say: which, words: [plain, heated]}",
            "only-if: {seats: warm}",
            "steps.mat.only-if.seats",
            "'seats' has no answer 'warm'",
        ),
        (
            "{say: which, words: [plain, heated]}",
            "only-if: {seat: heated}",
            "steps.mat.only-if.seat",
            "there is no question or fact of words 'seat'; did you mean 'seats'?",
        ),
        (
            "{say: which, words: [plain, heated]}",
            "only-if: {feed: heated}",
            "steps.mat.only-if.feed",
            "there is no question or fact of words 'feed'",
        ),
        (
            "{say: which, words: [plain, heated]}",
            "only-if: heated",
            "steps.mat.only-if",
            "a block of 'key: value' lines is wanted here",
        ),
    ],
)
def test_what_is_wrong_is_told_with_what_would_do(
    head: str, only: str, path: str, words: str
) -> None:
    faults = faults_in(file(only, f"facts:\n  seats: {head}"))
    assert has(faults, Severity.ERROR, path, words), faults


def test_a_limit_may_not_hang_on_a_step_that_is_left_out() -> None:
    steps = STEPS.replace("end: {do: look, then: fine}", "") + (
        "end: {measure: resistance, accept: at most 2 * mat, fail: weak, then: fine}"
    )
    faults = faults_in(file(steps=steps))
    assert has(faults, Severity.ERROR, "steps.end.accept", "without measuring 'mat'"), faults


def test_a_question_must_have_been_asked_before_a_step_goes_by_it() -> None:
    late = """
    feed: {measure: voltage at the seat, accept: at least 11 V, fail: weak}
    mat: {only-if: {kind: old}, measure: resistance of the mat, accept: 1 Ω to 3 Ω, fail: weak}
    kind: {ask: which kind is it, answers: {old: fine, new: fine}}
    """
    faults = faults_in(small(late))
    assert has(faults, Severity.ERROR, "steps.mat.accept", "without asking 'kind', which 'only-if'")


def test_a_question_that_may_be_left_out_tells_where_it_leads_then() -> None:
    steps = """
    feed: {measure: voltage at the seat, accept: at least 11 V, fail: weak}
    warm: {only-if: {seats: heated}, ask: does it warm, answers: {yes: fine, no: weak}}
    """
    faults = faults_in(small(steps, head=SEATS))
    assert has(faults, Severity.ERROR, "steps.warm.only-if", "needs a 'skip:'"), faults
    with_skip = steps.replace("ask: does", "skip: fine, ask: does")
    assert good(small(with_skip, head=SEATS)).step("warm").skip == "fine"


GUIDE = (Path(__file__).parents[2] / "procedures" / "WRITING.md").read_text(encoding="utf-8")


def test_the_examples_of_the_guide_load() -> None:
    part = GUIDE.split("A fact can be one of some words")[1].split("\n### ")[0]
    facts, step = re.findall(r"```yaml-part\n(.*?)```", part, re.DOTALL)
    steps = f"{dedent(step)}  then: fine\n".replace("mat-open", "weak")
    procedure = good(small(steps, head=facts))
    assert list(procedure.words) == ["seats", "gearbox", "tow-bar"]
    assert procedure.step("mat-resistance").only_if == (("seats", ("heated",)),)
