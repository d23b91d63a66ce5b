"""Phrases understood outside a session."""

from collections.abc import Mapping
from typing import Any

from voiceassist.app import build
from voiceassist.errors import SettingsError
from voiceassist.language.codec import to_json
from voiceassist.language.expectation import Expectation
from voiceassist.language.step import StepGrammar
from voiceassist.measure.units import base_unit
from voiceassist.record.said import meaning_words
from voiceassist.session.expect import of_step


def grammar_for(
    shop: build.Components, *, expect: str = "", procedure: str = "", step: str = ""
) -> StepGrammar:
    """The grammar of a quantity, of a procedure's step, or of everything.

    Raises:
        VoiceAssistError: no such quantity, procedure or step.
    """
    return shop.language.compose(_expectation(expect, procedure, step))


def _expectation(expect: str, procedure: str, step: str) -> Expectation:
    if bool(procedure) != bool(step):
        raise SettingsError("--procedure and --step go together", remedy="give both")
    if procedure:
        found = build.procedure(procedure).procedure
        names = [*found.steps, *found.repairs]
        if step not in names:
            raise SettingsError(
                f"there is no step {step!r} in it", place=procedure, remedy=", ".join(names)
            )
        return of_step(found.step(step))
    if expect:
        return Expectation(quantities=(expect,), unit=base_unit(expect))
    return Expectation.anything()


def in_words(found: Mapping[str, Any]) -> list[str]:
    """The meanings in what ``understand_words`` gives, a line for each."""
    return [f"{each['kind'].replace('_', ' ')}: {_told(each)}" for each in found["meanings"]]


def _told(meaning: Mapping[str, Any]) -> str:
    text = meaning.get("text")
    return text if meaning["kind"] == "note" and text else meaning_words(meaning)


def understand_words(
    words: str, *, expect: str = "", procedure: str = "", step: str = "", language: str = ""
) -> dict[str, Any]:
    """What ``words`` mean, as the JSON object of ``voiceassist understand``."""
    shop = build.Components(build.settings({"language": language} if language else {}))
    grammar = grammar_for(shop, expect=expect, procedure=procedure, step=step)
    understood = grammar.parse(words)
    return {
        "text": understood.text,
        "meanings": [to_json(meaning) for meaning in understood.meanings],
        "ambiguous": understood.ambiguous,
        "reason": understood.reason,
    }
