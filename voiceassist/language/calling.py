"""The name that is said before each phrase, so that the assistant knows it is spoken to."""

import re
from collections.abc import Mapping

from voiceassist.errors import LanguageError
from voiceassist.language.jsgf import Expression, Optional, Ref, Sequence, Word
from voiceassist.language.parser import Parser

CALLED_HEARD, CALLED_UNDERSTOOD = "called.heard", "called.understood"
_NAME = re.compile(r"[^\W\d_]+(['’-][^\W\d_]+)*( [^\W\d_]+(['’-][^\W\d_]+)*)*")


def check_name(name: str, parser: Parser) -> None:
    """Let a name pass that is plain words and means nothing else.

    Raises:
        LanguageError: it is not.
    """
    if not _NAME.fullmatch(name) or name != name.lower():
        raise LanguageError(
            f"{name!r} cannot be a name to call", remedy="use one or two plain words, lower-case"
        )
    if parser.parse(name).meanings:
        raise LanguageError(
            f"{name!r} cannot be a name to call: it already means something",
            remedy="use another word, such as 'helper'",
        )


def called_rules(name: str, heard: str, understood: str) -> Mapping[str, Expression]:
    """What is ``heard`` and ``understood`` with a name before it; heard is the name alone too."""
    words = tuple(map(Word, name.split()))
    return {
        CALLED_HEARD: Sequence((*words, Optional(Ref(heard)))),
        CALLED_UNDERSTOOD: Sequence((*words, Optional(Word(",")), Ref(understood))),
    }
