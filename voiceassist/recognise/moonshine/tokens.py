"""The vocabulary of the decoder: token numbers and the pieces of text they stand for."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from voiceassist.errors import RecogniseError

#: Tokens that begin and end every text.
START, END = 1, 2
#: Marks the start of a word inside a token (U+2581, as in the sentencepiece format).
_WORD_START = "▁"
#: Tokens 3 to 258 stand for single bytes, used only where no piece of text has the character.
_FIRST_PIECE = 259
_LONG = 0x80


@dataclass(frozen=True, slots=True)
class Tokens:
    """All tokens.

    Parts:
        texts: the text of each token as it is written, a space where a word starts.
        starting: text without its space, folded, to the tokens that start a word with it.
        inner: folded text to the tokens that go on with it where no word starts.
    """

    texts: tuple[str, ...] = field(repr=False)
    starting: Mapping[str, tuple[int, ...]] = field(repr=False)
    inner: Mapping[str, tuple[int, ...]] = field(repr=False)

    def text(self, tokens: list[int]) -> str:
        """What ``tokens`` spell."""
        return "".join(self.texts[token] for token in tokens).strip()


def folded(text: str) -> str:
    """``text`` with case and the shape of apostrophes taken away."""
    return text.lower().replace("’", "'")


def read_tokens(data: bytes, place: str) -> Tokens:
    """Read a token file: each token is its length, in one byte or two, and its UTF-8 bytes.

    A length below 128 is one byte; a longer one is its last seven bits with the top bit set, then
    a byte that counts 128s. Length 0 is a token without a text.

    Args:
        data: the whole file.
        place: its path, for messages.

    Raises:
        RecogniseError: the file ends inside a token, or holds too few.
    """
    texts = _texts(data)
    if texts is None or len(texts) <= _FIRST_PIECE:
        raise RecogniseError(
            "this is not a whole token file", place=place, remedy="copy or install the model again"
        )
    starting: dict[str, list[int]] = {}
    inner: dict[str, list[int]] = {}
    for token in range(_FIRST_PIECE, len(texts)):
        text = folded(texts[token])
        if text.startswith(" "):
            starting.setdefault(text[1:], []).append(token)
        else:
            inner.setdefault(text, []).append(token)
    return Tokens(texts, _frozen(starting), _frozen(inner))


def _texts(data: bytes) -> tuple[str, ...] | None:
    texts: list[str] = []
    at = 0
    while at < len(data):
        length = data[at]
        at += 1
        if length >= _LONG:
            if at == len(data):
                return None
            length += _LONG * (data[at] - 1)
            at += 1
        if at + length > len(data):
            return None
        text = data[at : at + length].decode("utf-8", "replace")
        texts.append(text.replace(_WORD_START, " "))
        at += length
    return tuple(texts)


def _frozen(found: dict[str, list[int]]) -> dict[str, tuple[int, ...]]:
    return {text: tuple(tokens) for text, tokens in found.items()}
