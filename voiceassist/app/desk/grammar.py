"""Shows, samples and exports what can be said."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from voiceassist.app import build
from voiceassist.app.desk.understand import grammar_for
from voiceassist.errors import SettingsError
from voiceassist.language.codec import to_json
from voiceassist.language.forms import table, talk_table
from voiceassist.language.step import StepGrammar

FORMATS = ("jsgf", "words")


@dataclass(frozen=True, slots=True)
class GrammarChoice:
    """Which grammar is meant.

    Parts:
        expect: a quantity ("voltage"); empty for all.
        procedure, step: a step instead; both or neither.
        language: folder name under ``grammars``; empty for the one in the settings.
    """

    expect: str = ""
    procedure: str = ""
    step: str = ""
    language: str = ""

    def grammar(self) -> StepGrammar:
        """The grammar meant.

        Raises:
            VoiceAssistError: no such language, quantity, procedure or step.
        """
        shop = build.Components(
            build.settings({"language": self.language} if self.language else {})
        )
        return grammar_for(shop, expect=self.expect, procedure=self.procedure, step=self.step)


def can_say(choice: GrammarChoice) -> tuple[str, ...]:
    """An example of each thing that can be said."""
    return choice.grammar().help()


def samples(
    choice: GrammarChoice, count: int, seed: int, *, heard: bool
) -> Iterator[dict[str, Any]]:
    """``count`` random phrases, each with its meanings; the same seed gives the same ones."""
    grammar, rng = choice.grammar(), random.Random(seed)
    for _ in range(count):
        phrase, _meaning = grammar.sample(rng, heard=heard)
        understood = grammar.parse(phrase)
        meanings = [to_json(meaning) for meaning in understood.meanings]
        yield {"text": phrase, "meanings": meanings, "ambiguous": understood.ambiguous}


def exported(choice: GrammarChoice, form: str, *, everything: bool) -> str:
    """The grammar as one JSGF text, or as its words, one a line.

    Raises:
        SettingsError: another format.
    """
    if form not in FORMATS:
        raise SettingsError(f"there is no format {form!r}", remedy="use " + " or ".join(FORMATS))
    grammar = choice.grammar()
    if form == "jsgf":
        return grammar.jsgf(everything=everything)
    return "\n".join(sorted(grammar.words(everything=everything)))


def how_to_say_it(language: str) -> str:
    """The table of spoken forms, in Markdown, made from the grammar."""
    shop = build.Components(build.settings({"language": language} if language else {}))
    first = table(shop.language, ("Meaning", "Say", "Also understood"))
    talk = talk_table(shop.language, ("Meaning", "Where", "Some ways to say it"))
    return f"{first}\n{talk}" if talk else first
