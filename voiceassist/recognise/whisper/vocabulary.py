"""The tokens of a Whisper model: pieces of text, and the marks that steer it.

A vocabulary file lists them by number, each spelled with one visible character for each byte of
its UTF-8 text, as byte-pair encoders have done since Radford et al. 2019: bytes that are visible
Latin characters stand for themselves, the others for the characters from U+0100 on.
"""

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from voiceassist.errors import RecogniseError

FILES = ("vocabulary.json", "vocabulary.txt")
_END, _BEGIN = "<|endoftext|>", "<|startoftranscript|>"
_BEFORE, _NO_TIMES = "<|startofprev|>", "<|notimestamps|>"
_NO_SPEECH = ("<|nospeech|>", "<|nocaptions|>")
_TRANSCRIBE, _LANGUAGE = "<|transcribe|>", "<|{}|>"
_VISIBLE = (*range(33, 127), *range(161, 173), *range(174, 256))
_WORD = re.compile(r" ?[^\W\d_]+|.")


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All tokens.

    Parts:
        texts: the text of each token; None for marks and for parts of a character.
        end: the mark that ends a text.
        no_speech: the mark that stands for a sound without speech.
    """

    texts: Sequence[str | None]
    end: int
    no_speech: int
    _marks: dict[str, int] = field(repr=False)
    _numbers: dict[str, int] = field(repr=False)

    def opening(self, examples: str) -> list[int]:
        """What every text opens with: ``examples``, as if said before, and the beginning mark.

        After it the model tells how likely there is no speech.
        """
        before = [self._marks[_BEFORE], *self.cut(" " + examples)] if examples else []
        return [*before, self._marks[_BEGIN]]

    def steering(self, language: str, *, many_languages: bool) -> list[int]:
        """What follows then: what is wanted of the model."""
        wanted = [_LANGUAGE.format(language), _TRANSCRIBE] if many_languages else []
        return [self._marks[mark] for mark in (*wanted, _NO_TIMES)]

    def cut(self, text: str) -> list[int]:
        """Tokens that spell ``text``, the longest first in each word."""
        return [token for word in _WORD.findall(text) for token in self._cut_word(word)]

    def _cut_word(self, word: str) -> Iterator[int]:
        while word:
            length = next((n for n in range(len(word), 0, -1) if word[:n] in self._numbers), 0)
            if length:
                yield self._numbers[word[:length]]
            word = word[length or 1 :]


def vocabulary_file(folder: Path) -> Path:
    """The file of the vocabulary in ``folder``.

    Raises:
        RecogniseError: there is none.
    """
    for name in FILES:
        if (folder / name).is_file():
            return folder / name
    raise RecogniseError(
        f"{' or '.join(FILES)} is missing", place=str(folder), remedy="copy the model again"
    )


def read_vocabulary(folder: Path) -> Vocabulary:
    """The vocabulary of the model in ``folder``.

    Raises:
        RecogniseError: there is no file of it, or it lacks the marks of a Whisper model.
    """
    file = vocabulary_file(folder)
    try:
        return _vocabulary(_spellings(file))
    except (OSError, ValueError, KeyError, TypeError, StopIteration):
        raise RecogniseError(
            "this is no vocabulary of a Whisper model",
            place=str(file),
            remedy="copy the model again",
        ) from None


def _spellings(file: Path) -> list[str]:
    text = file.read_text(encoding="utf-8")
    if file.suffix == ".json":
        return [str(spelling) for spelling in json.loads(text)]
    return text.removesuffix("\n").split("\n")


def _vocabulary(spellings: list[str]) -> Vocabulary:
    marks = {s: n for n, s in enumerate(spellings) if s.startswith("<|") and s.endswith("|>")}
    for needed in (_END, _BEGIN, _BEFORE, _NO_TIMES):
        marks[needed]
    no_speech = next(marks[mark] for mark in _NO_SPEECH if mark in marks)
    byte_of = _bytes()
    texts = [None if s in marks else _text(s, byte_of) for s in spellings]
    numbers = {text: number for number, text in reversed(list(enumerate(texts))) if text}
    return Vocabulary(tuple(texts), marks[_END], no_speech, marks, numbers)


def _bytes() -> dict[str, int]:
    hidden = [byte for byte in range(256) if byte not in _VISIBLE]
    return {chr(b): b for b in _VISIBLE} | {chr(256 + n): b for n, b in enumerate(hidden)}


def _text(spelling: str, byte_of: dict[str, int]) -> str | None:
    try:
        return bytes(byte_of[letter] for letter in spelling).decode("utf-8")
    except (KeyError, UnicodeDecodeError):
        return None
