"""Writes rules as one JSGF text without tags, for a recogniser's own reader."""

from collections.abc import Mapping

from voiceassist.language import jsgf


def to_jsgf(rules: Mapping[str, jsgf.Expression], root: str, name: str) -> str:
    """One self-contained grammar called ``name``, with ``root`` as its only public rule."""
    lines = [f"public <{name}> = {_text(rules[root])};"]
    lines += [f"<{_plain(rule)}> = {_text(body)};" for rule, body in rules.items() if rule != root]
    return "\n".join(["#JSGF V1.0;", f"grammar {name};", *lines, ""])


def _plain(rule: str) -> str:
    return rule.replace(".", "-")


def _text(body: jsgf.Expression) -> str:  # noqa: PLR0911 - one for each class
    match body:
        case jsgf.Word(text):
            return text
        case jsgf.Ref(name):
            return f"<{_plain(name)}>"
        case jsgf.Tag():
            return ""
        case jsgf.Sequence(parts):
            return " ".join(_grouped(part) for part in parts)
        case jsgf.Alternatives(options, weights):
            plain = len(set(weights)) == 1
            return " | ".join(
                _text(o) if plain else f"/{w:g}/ {_text(o)}"
                for o, w in zip(options, weights, strict=True)
            )
        case jsgf.Optional(inner):
            return f"[{_text(inner)}]"
        case jsgf.Repeat(inner, at_least):
            return f"({_text(inner)}){'+' if at_least else '*'}"


def _grouped(body: jsgf.Expression) -> str:
    return f"({_text(body)})" if isinstance(body, jsgf.Alternatives) else _text(body)
