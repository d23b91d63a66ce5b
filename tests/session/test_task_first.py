"""A question with a task before it: a word that the task is done is no answer to the question."""

import pytest
from lines import Lines

from voiceassist.language.meanings import Answer
from voiceassist.session.events import Heard
from voiceassist.session.states import State

TASK = """
procedure: pulling
title: a fuse is pulled
for: an invented vehicle
steps:
  pull:
    ask: pull fuse two. Does the current drop
    answers: {yes: behind, no: elsewhere}
findings:
  behind: {cause: it is behind fuse two, correction: look there}
  elsewhere: {cause: it is elsewhere, correction: look on}
"""
PLAIN = TASK.replace("pull fuse two. Does", "does")


@pytest.mark.parametrize("word", ["okay", "done", "understood", "finished", "that's done"])
def test_a_word_that_the_task_is_done_leaves_the_question_standing(word: str) -> None:
    bench = Lines(text=TASK)
    assert "Pull fuse two. Does the current drop?" in bench.texts()
    assert bench.type(word) == "Does the current drop?"
    assert bench.state is State.ASK
    assert bench.session.ledger == ()


@pytest.mark.parametrize(
    ("answer", "finding"), [("yes", "behind"), ("affirm", "behind"), ("no", "elsewhere")]
)
def test_then_the_question_is_answered(answer: str, finding: str) -> None:
    bench = Lines(text=TASK)
    bench.type("okay", answer)
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == finding


def test_a_plain_yes_or_no_answers_task_and_question_at_once() -> None:
    bench = Lines(text=TASK)
    bench.type("yes")
    if bench.state is State.CONFIRM:
        bench.type("affirm reading")
    assert bench.session.finding == "behind"


def test_the_task_is_told_done_once() -> None:
    bench = Lines(text=TASK)
    bench.type("done")
    assert "That does not fit here" in bench.type("done")
    assert bench.type("say again") == "Does the current drop?"


@pytest.mark.parametrize("word", ["okay", "understood", "done"])
def test_a_word_that_answers_nothing_is_no_yes_to_a_plain_question_either(word: str) -> None:
    bench = Lines(text=PLAIN)
    assert "Does the current drop?" in bench.type(word)
    assert bench.state is State.ASK
    assert bench.session.ledger == ()


@pytest.mark.parametrize("answer", ["yes", "no"])
def test_a_guessed_answer_has_the_question_asked_again_so_that_no_means_no(answer: str) -> None:
    bench = Lines(text=PLAIN)
    bench.give(Heard("nope it is diesel", guess=Answer("negative")))
    assert bench.texts() == "Yes or no? Does the current drop?"
    bench.type(answer)
    assert [result.shown for result in bench.session.ledger] == [answer]


@pytest.mark.parametrize("text", [TASK, PLAIN])
def test_a_recogniser_listens_for_okay_at_a_question_too(text: str) -> None:
    assert "okay" in Lines(text=text).grammar().words()
