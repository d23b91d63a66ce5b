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


def test_yes_has_no_other_words() -> None:
    found = faults_in(ask("yes: {say: [sure], go: fine}, no: weak"))
    assert has(found, Severity.ERROR, "steps.one.answers.yes", "write only where it leads")


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
