"""Answers to questions: names and words that can be told apart."""

import pytest
from small_files import faults_in, good, has, small

from voiceassist.procedure.faults import Severity


def ask(answers: str) -> str:
    return small(f"one: {{ask: how does it run, answers: {{{answers}}}}}")


def test_answers_keep_their_own_ways_to_be_said() -> None:
    replies = good(ask("fast: {say: [fast, quickly], go: fine}, no: weak")).step("one").replies
    assert [(r.name, r.phrases) for r in replies] == [
        ("fast", ("fast", "quickly")),
        ("negative", ()),
    ]


@pytest.mark.parametrize("name", ["affirm", "negative", "done", "skip"])
def test_a_name_that_means_something_else_is_a_fault(name: str) -> None:
    found = faults_in(ask(f"{name}: fine, slow: weak"))
    message = f"an answer cannot be called {name!r}; write "
    assert has(found, Severity.ERROR, f"steps.one.answers.{name}", message)


def test_both_yes_and_affirm_is_a_fault() -> None:
    found = faults_in(ask("yes: fine, affirm: fine, no: weak"))
    assert has(found, Severity.ERROR, "steps.one.answers.affirm", "write yes")


def test_yes_without_no_is_warned_of() -> None:
    found = faults_in(ask("yes: fine, slow: weak"))
    assert has(found, Severity.WARNING, "steps.one.answers", "a 'yes' but no 'no'")


def test_a_word_of_the_language_cannot_be_an_answer() -> None:
    found = faults_in(ask("fast: fine, louder: weak"), reserved={"louder"}.__contains__)
    assert has(found, Severity.ERROR, "steps.one.answers.louder", "already is a command")


def test_two_answers_cannot_be_said_alike() -> None:
    found = faults_in(
        ask("fast: {say: [it runs], go: fine}, slow: {say: [it crawls, it runs], go: weak}")
    )
    message = "'it runs' is a way to say 'fast' too"
    assert has(found, Severity.ERROR, "steps.one.answers.slow", message)


def test_yes_and_no_take_words_of_the_question_too() -> None:
    replies = good(ask("yes: {say: [It follows], go: fine}, no: weak")).step("one").replies
    assert [(r.name, r.phrases, r.also) for r in replies] == [
        ("affirm", (), ("it follows",)),
        ("negative", (), ()),
    ]


def test_yes_and_no_cannot_be_said_alike() -> None:
    found = faults_in(ask("yes: {say: [it runs], go: fine}, no: {say: [it runs], go: weak}"))
    assert has(found, Severity.ERROR, "steps.one.answers.negative", "a way to say 'affirm' too")


@pytest.mark.parametrize("phrase", ["size 2", "a, b", "one-speed", "50 %"])
def test_what_cannot_be_said_cannot_be_an_answer(phrase: str) -> None:
    found = faults_in(ask(f'"{phrase}": fine, slow: weak'))
    assert has(found, Severity.ERROR, f"steps.one.answers.{phrase}", "cannot be said as it is")


@pytest.mark.parametrize(
    ("answers", "path", "words"),
    [
        ("fast: [fine], slow: weak", "fast", "a name, or a block with 'say:' and 'go:',"),
        ("fast: {say: [fast]}, slow: weak", "fast", "'go' is missing"),
        ("fast: {say: fast, go: fine}, slow: weak", "fast.say", "a list is wanted here"),
        ("fast: {say: [fast], goo: a, go: fine}, slow: weak", "fast.goo", "did you mean 'go'?"),
        ("fast: Fine One, slow: weak", "fast", "'Fine One' is not a name"),
    ],
)
def test_a_badly_written_answer_is_told_once_for_each_mistake(
    answers: str, path: str, words: str
) -> None:
    found = faults_in(ask(answers))
    assert has(found, Severity.ERROR, f"steps.one.answers.{path}", words), found
    assert len(found) == 1


# --- doubtful answers that lead somewhere ---


def test_a_question_and_a_reading_can_say_where_one_goes_who_is_not_sure() -> None:
    steps = """
    one: {ask: does it light, answers: {yes: fine, no: two}, not-sure: two, comes-and-goes: weak}
    two: {measure: voltage there, accept: at least 11 V, low: weak, not-sure: weak, then: fine}
    """
    found = good(small(steps)).steps
    assert found["one"].routes["not-sure"] == "two"
    assert found["one"].routes["comes-and-goes"] == "weak"
    assert found["two"].routes["not-sure"] == "weak"


@pytest.mark.parametrize(
    ("steps", "path", "message"),
    [
        ("one: {ask: a, answers: {yes: fine, no: weak}, not-sure: twoo}", "steps.one.not-sure",
         "there is no step or finding 'twoo'"),
        ("one: {do: look, not-sure: weak, then: fine}", "steps.one.not-sure",
         "'not-sure' has no effect in a step with 'do'"),
        ("one: {ask: a, answers: {not-sure: fine, no: weak}}", "steps.one.answers.not-sure",
         "an answer cannot be called 'not-sure'"),
    ],
)  # fmt: skip
def test_where_it_cannot_lead_is_a_fault(steps: str, path: str, message: str) -> None:
    found = faults_in(small(steps))
    assert has(found, Severity.ERROR, path, message), found


def test_a_reading_that_one_is_not_sure_of_is_no_reading_for_a_limit() -> None:
    steps = """
    one: {measure: voltage there, accept: at least 11 V, low: weak, not-sure: two}
    two: {measure: voltage here, accept: at least one - 1 V, low: weak, then: fine}
    """
    message = "a path leads here without measuring 'one', which the limit needs"
    assert has(faults_in(small(steps)), Severity.ERROR, "steps.two.accept", message)
