"""The network of guesses is taught further on any processor, and keeps what it knew."""

import random
from itertools import product

import numpy as np
import pytest
import torch

from training.talk.further import Arrays, Course, Plan, restored, task_of
from training.talk.net import Example, arrays_of, batched
from voiceassist import resources
from voiceassist.language.word_net import WordNet

ARRAYS = resources.network("en")
SHIPPED = WordNet(ARRAYS)
OLD = [
    Example(tuple(words.split()), (intent,), where, 1.0)
    for words, intent, where in (
        ("say that again please", "repeat", ""),
        ("it is unplugged", "done", "change"),
        ("why do we measure that", "why", "live"),
        ("just a faint glow", "lamp-dim", "lamp"),
        ("which hole does the red lead go in", "range", "live"),
        ("put the kettle on", "other", "live"),
    )
]
#: Words that nobody says, and an intent and a place that are not known.
NEW = [
    Example(("wibble", "the", what, *end), ("dance",), "ballroom", 1.0)
    for what, end in product(("frob", "grommet", "sprocket", "dingus"), ((), ("now",), ("please",)))
]
PLAN = Plan(epochs=25, rate=2e-4, new=4, old=6, joins=4)


def best(net: WordNet, each: Example) -> str:
    return net.intents[int(np.argmax(net.scores([each.words], each.where)[0]))]


@pytest.fixture(scope="module")
def taught() -> Arrays:
    torch.set_num_threads(1)  # several wait for one another where others are at work
    course = Course(ARRAYS, NEW, OLD, PLAN)
    return arrays_of(course.run(), course.task)


@torch.inference_mode()
def test_it_begins_at_what_is_shipped_to_the_last_byte() -> None:
    task = task_of(ARRAYS, OLD, OLD)
    net = restored(ARRAYS, task)
    written = arrays_of(net, task)
    assert written.keys() == ARRAYS.keys()
    assert all(np.array_equal(written[name], kept) for name, kept in ARRAYS.items())
    whole = random.Random()
    whole.random = lambda: 1.0  # type: ignore[method-assign]  # all words are seen
    scores = net(*batched(OLD, task, whole)).numpy()
    assert scores == pytest.approx(
        np.concatenate([SHIPPED.scores([each.words], each.where) for each in OLD]), abs=1e-3
    )


def test_what_is_new_is_learned_with_its_intent_and_its_place(taught: Arrays) -> None:
    net = WordNet(taught)
    assert net.intents[:-1] == SHIPPED.intents
    assert [best(net, each) for each in NEW] == ["dance"] * len(NEW)


def test_nothing_old_is_lost(taught: Arrays) -> None:
    net = WordNet(taught)
    assert [best(SHIPPED, each) for each in OLD] == [each.intents[0] for each in OLD]
    assert [best(net, each) for each in OLD] == [each.intents[0] for each in OLD]


def test_it_is_written_in_whole_numbers_as_before(taught: Arrays) -> None:
    assert taught.keys() == ARRAYS.keys()
    assert {name: kept.dtype for name, kept in taught.items()} == {
        name: kept.dtype for name, kept in ARRAYS.items()
    }
    assert np.array_equal(taught["vocabulary"], ARRAYS["vocabulary"])
