"""Writes rules as one JSGF text without tags, for a recogniser's own reader."""

from collections.abc import Mapping

from voiceassist.language.jsgf import (
    Alternatives,
    Expression,
    Optional,
    Ref,
    Repeat,
    Sequence,
    Tag,
    Word,
)


def to_jsgf(rules: Mapping[str, Expression], root: str, name: str) -> str:
    """One self-contained grammar called ``name``, with ``root`` as its only public rule."""
    lines = [f"public <{name}> = {_text(rules[root])};"]
    lines += [f"<{_plain(rule)}> = {_text(body)};" for rule, body in rules.items() if rule != root]
    return "\n".join(["#JSGF V1.0;", f"grammar {name};", *lines, ""])


def _plain(rule: str) -> str:
    return rule.replace(".", "-")


def _text(body: Expression) -> str:  # noqa: PLR0911 - one for each class
    match body:
        case Word(text):
            return text
        case Ref(name):
            return f"<{_plain(name)}>"
        case Tag():
            return ""
        case Sequence(parts):
            return " ".join(_grouped(part) for part in parts)
        case Alternatives(options, weights):
            plain = len(set(weights)) == 1
            return " | ".join(
                _text(o) if plain else f"/{w:g}/ {_text(o)}"
                for o, w in zip(options, weights, strict=True)
            )
        case Optional(inner):
            return f"[{_text(inner)}]"
        case Repeat(inner, at_least):
            return f"({_text(inner)}){'+' if at_least else '*'}"


def _grouped(body: Expression) -> str:
    return f"({_text(body)})" if isinstance(body, Alternatives) else _text(body)
