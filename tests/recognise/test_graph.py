"""A step's grammar as a graph of words, and what is sent of it."""

import io
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Candidate, HeardClip, Nothing
from voiceassist.recognise.graph import WordGraph, graph_of
from voiceassist.recognise.process.wire import (
    Message,
    grammar_from_json,
    grammar_to_json,
    graph_in,
    heard_from_json,
    heard_to_json,
    receive,
    send,
)

#: "yes", "no", "go on", "go on on"
SMALL = WordGraph(({"yes": 1, "no": 1, "go": 2}, {}, {"on": 3}, {"on": 1}), frozenset({1, 3}))

VOLTAGE = Expectation(("voltage",), unit("V"))


@pytest.fixture(scope="module")
def step(english: Language) -> StepGrammar:
    return english.compose(VOLTAGE)


@pytest.mark.parametrize("phrase", ["yes", "no", "go on", "go on on"])
def test_a_graph_holds_its_phrases(phrase: str) -> None:
    assert SMALL.contains(phrase)


@pytest.mark.parametrize("phrase", ["", "go", "on", "yes no", "go on on on", "maybe", "yes yes"])
def test_a_graph_holds_no_others(phrase: str) -> None:
    assert not SMALL.contains(phrase)


@pytest.mark.parametrize(
    ("arcs", "ends"), [((), ()), (({"a": 1},), (0,)), (({},), (1,)), (({"a": -1},), (0,))]
)
def test_a_graph_that_leads_out_of_itself_is_refused(
    arcs: tuple[dict[str, int], ...], ends: tuple[int, ...]
) -> None:
    with pytest.raises(ValueError, match="leads out"):
        WordGraph(arcs, frozenset(ends))


def test_every_sampled_phrase_is_in_the_graph_of_its_step(step: StepGrammar) -> None:
    graph, rng = graph_of(step), random.Random(7)
    for _ in range(300):
        phrase, _meaning = step.sample(rng, heard=True)
        assert graph.contains(phrase)


def test_the_graph_says_as_the_step_does_of_any_words(step: StepGrammar) -> None:
    graph, rng = graph_of(step), random.Random(8)
    words = sorted(graph.words())
    assert graph.words() == step.words()
    for _ in range(300):
        state, here, said = step.start(), graph.start(), []
        for _ in range(rng.randrange(8)):
            after = sorted(step.next_words(state))
            assert frozenset(after) == graph.next_words(here)
            if not after:
                break
            said.append(rng.choice(after))
            state, here = step.advance(state, said[-1]), graph.advance(here, said[-1])
        assert step.accepts(state) == graph.accepts(here) == graph.contains(" ".join(said))
        assert not graph.contains(" ".join([*said, rng.choice(words), "nonsense"]))


def test_covering_phrases_are_phrases_and_hold_every_two_words_that_can_meet(
    step: StepGrammar,
) -> None:
    graph = graph_of(step)
    phrases = list(graph.cover())
    assert all(graph.contains(phrase) for phrase in phrases)
    covered = {pair for p in phrases for pair in zip(p.split(), [*p.split()[1:], ""], strict=True)}
    rng = random.Random(9)
    for _ in range(300):
        words = step.sample(rng, heard=True)[0].split()
        assert set(zip(words, [*words[1:], ""], strict=True)) <= covered
    assert {w.split()[0] for w in phrases} == graph.next_words(graph.start())


def test_covering_phrases_of_a_small_graph() -> None:
    # Each pair once: yes, no and on at the end, go on, on on; "go on" covers two of them.
    assert sorted(set(SMALL.cover())) == ["go on", "go on on", "no", "yes"]


class Endless:
    """A grammar of any number of ones, told apart."""

    def jsgf(self) -> str:
        return ""

    def words(self) -> frozenset[str]:
        return frozenset({"one"})

    def start(self) -> int:
        return 0

    def advance(self, state: int, word: str) -> int:
        return state + 1

    def next_words(self, state: int) -> frozenset[str]:
        return self.words()

    def accepts(self, state: int) -> bool:
        return True


def test_an_endless_grammar_is_refused_in_a_sentence() -> None:
    with pytest.raises(RecogniseError, match="too many ways to speak; give it shorter phrases"):
        graph_of(Endless())


# --- what is sent ---


def test_a_grammar_arrives_as_it_was_sent(step: StepGrammar) -> None:
    stream = io.BytesIO()
    send(stream, Message({"grammar": grammar_to_json(step)}))
    stream.seek(0)
    message = receive(stream)
    assert message is not None
    sent = grammar_from_json(message.about["grammar"])
    assert (sent.jsgf(), sent.words()) == (step.jsgf(), step.words())
    assert graph_in(sent) == graph_of(step)


FLOATS = st.floats(allow_nan=False)


@given(
    st.lists(st.tuples(st.text(), FLOATS)),
    st.none() | st.sampled_from(Nothing),
    st.none() | FLOATS,
    FLOATS,
    st.binary(),
)
def test_what_was_heard_arrives_as_it_was_sent(
    candidates: list[tuple[str, float]],
    nothing: Nothing | None,
    none_of_these: float | None,
    seconds: float,
    data: bytes,
) -> None:
    heard = HeardClip(
        "x", tuple(Candidate(*c) for c in candidates), nothing, none_of_these, seconds
    )
    stream = io.BytesIO()
    send(stream, Message(heard_to_json(heard), data))
    stream.seek(0)
    message = receive(stream)
    assert message is not None
    assert heard_from_json(message.about, "x") == heard
    assert message.data == data
    assert receive(stream) is None


def test_a_message_that_is_cut_off_is_the_end_of_the_stream() -> None:
    whole = io.BytesIO()
    send(whole, Message({"a": 1}, b"data"))
    for length in range(len(whole.getvalue())):
        assert receive(io.BytesIO(whole.getvalue()[:length])) is None
