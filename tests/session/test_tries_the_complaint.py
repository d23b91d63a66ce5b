"""What the customer came for is asked or tried at the end of a proof."""

import pytest
from talk.situations import standing_at

from voiceassist import resources
from voiceassist.app import build
from voiceassist.language.meanings import Command
from voiceassist.procedure.model import Kind
from voiceassist.session.outputs import Listen
from voiceassist.session.session import Stage
from voiceassist.session.states import State

SHIPPED = sorted(file.stem for file in resources.folder("procedures").glob("*.yaml"))
#: Proofs that end with a reading: those of a draw, since a night shows what it is for; two that
#: their bounds of words and exchanges leave no room for one more (``test_whole_jobs.py``); and
#: one that tries the wipers first, since their current may burn the new part.
BY_READING = {
    "key-off-draw": None,
    "no-charging": {"alternator"},
    "can-termination": {"front-module"},
    "wiper-park": {"stalk"},
}


@pytest.mark.parametrize("name", SHIPPED)
def test_each_proof_ends_with_what_the_customer_came_for(name: str) -> None:
    procedure = build.procedure(name).procedure
    last = {n: f.prove_with[-1] for n, f in procedure.findings.items() if f.prove_with}
    by_reading = {n for n, step in last.items() if procedure.steps[step].kind is not Kind.ASK}
    allowed = BY_READING.get(name, set())
    assert by_reading == (set(last) if allowed is None else allowed)


def test_the_fan_is_tried_off_low_and_high_before_its_repair_is_proved() -> None:
    one, turn = standing_at("repair")
    said = ("done", "done", "affirm", "four point two", "twelve point three")
    for words in said:
        turn = one.say(turn, words)
    assert turn.session.state is State.ASK
    asked = " ".join(o.text for o in turn.outputs if not isinstance(o, Listen))
    assert "Try off, low and high. Does the fan follow?" in asked
    heard = one.say(turn, "affirm", certain=False)
    assert heard.session.ending == "repaired", "a spoken yes is not asked for twice"


def test_where_the_complaint_is_still_there_nothing_is_proved() -> None:
    one, turn = standing_at("repair")
    for words in ("done", "done", "affirm", "four point two", "twelve point three", "no", "yes"):
        turn = one.say(turn, words)
    assert (turn.session.stage, turn.session.state) == (Stage.PROVE, State.RETRY)


TRIED = ("done", "done", "affirm", "four point two", "twelve point three")


@pytest.mark.parametrize(
    "words",
    [
        "it works now",
        "works a treat",
        "runs every time",
        "they all run",
        "off low and high, it all works",
        "fan follows",
    ],
)
def test_that_it_works_now_is_a_yes_where_the_complaint_is_tried(words: str) -> None:
    one, turn = standing_at("repair")
    for line in (*TRIED, words):
        turn = one.say(turn, line)
    assert turn.session.ending == "repaired"


@pytest.mark.parametrize(
    "words", ["still stuck on high", "same as before", "no change", "it still doesn't stop"]
)
def test_that_it_is_as_before_proves_nothing_there(words: str) -> None:
    one, turn = standing_at("repair")
    for line in (*TRIED, words, "yes"):
        turn = one.say(turn, line)
    assert turn.session.state is State.RETRY


def test_elsewhere_that_it_works_now_is_a_fault_that_comes_and_goes() -> None:
    one, turn = standing_at("volts")
    event = one.event(turn, "it works now")
    assert event.meanings[0] == Command("comes-and-goes")


@pytest.mark.parametrize(
    "words",
    [
        "it runs, but low's the same as high",
        "runs but only on high",
        "it runs on high but not on low",
        "it runs but doesn't follow",
    ],
)
def test_that_it_runs_otherwise_than_it_should_is_a_no(words: str) -> None:
    one, turn = standing_at("repair")
    for line in (*TRIED, words):
        turn = one.say(turn, line)
    spoken = [o.text for o in turn.outputs if not isinstance(o, Listen)]
    assert spoken[0].startswith("No proves nothing yet.")
    assert not turn.session.ending
