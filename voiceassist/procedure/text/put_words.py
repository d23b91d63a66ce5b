"""The words of one of several like things, put in the place of those in angle brackets."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from voiceassist.procedure.faults import did_you_mean
from voiceassist.procedure.text.groups import NEXT, PREVIOUS, LikeThings
from voiceassist.procedure.text.tree import Value

WORD = re.compile(r"(?P<before>-?)<(?P<word>[a-z0-9-]+)>(?P<after>-?)")


@dataclass(frozen=True, slots=True)
class Put:
    """Puts the words of one thing in the place of those in angle brackets.

    In a name, which is joined by hyphens or stands alone, they are joined by hyphens too; in a
    text "front-left" is "front left".
    """

    words: Mapping[str, str]
    group: LikeThings
    blame: Callable[[str], None]

    def has(self, part: Value) -> bool:
        """False for what tells of the one before, at the first."""
        asks = isinstance(part, str) and f"<{PREVIOUS}>" in part
        return PREVIOUS in self.words or not asks

    def __call__(self, text: str) -> str:
        """``text`` with the words put in."""
        alone = WORD.fullmatch(text) is not None
        return WORD.sub(lambda match: self._word(match, alone=alone), text)

    def _word(self, match: re.Match[str], *, alone: bool) -> str:
        word = match["word"]
        if word not in self.words:
            known = list(self.words)
            self.blame(f"<{word}> stands for nothing here{did_you_mean(word, known)}")
            return match[0]
        word_given = self.words[word]
        joined = alone or match["before"] or match["after"] or word == NEXT
        spoken = word in {self.group.name, PREVIOUS} and not joined
        return (
            match["before"]
            + (word_given.replace("-", " ") if spoken else word_given)
            + match["after"]
        )


def named(name: str, group: LikeThings, thing: str) -> str:
    """The name of the part for ``thing``: where ``name`` has its place, else behind it."""
    if f"<{group.name}>" not in name:
        return f"{name}-{thing}"
    return Put(group.words(thing), group, lambda _: None)(name)
