"""Rules of one step as plain trees: what is void is cut away, what is silent is left out."""

from collections.abc import Iterable, Mapping

from voiceassist.language import jsgf
from voiceassist.language.linking import NULL, VOID, parts_of, references

SILENCE = jsgf.Sequence(())
COMMA = ","


def pruned(rules: Mapping[str, jsgf.Expression], root: str) -> dict[str, jsgf.Expression]:
    """The rules that ``root`` can really use, callees first, without void or silent parts."""
    shaped: dict[str, jsgf.Expression | None] = {}

    def visit(name: str) -> None:
        if name in shaped or name in {NULL, VOID}:
            return
        for inner in sorted(references(rules[name])):
            visit(inner)
        shaped[name] = _shape(rules[name], shaped)

    visit(root)
    kept = {n: body for n, body in shaped.items() if body is not None and body != SILENCE}
    used = _used(root, kept)
    return {name: body for name, body in kept.items() if name in used}


def without_tags(rules: Mapping[str, jsgf.Expression]) -> dict[str, jsgf.Expression]:
    """The same rules with words only."""
    bare: dict[str, jsgf.Expression | None] = {}
    for name, body in rules.items():
        bare[name] = _shape(body, bare, tags=False)
    return {name: body for name, body in bare.items() if body is not None and body != SILENCE}


def words_of(rules: Mapping[str, jsgf.Expression]) -> frozenset[str]:
    """Every word in ``rules``."""
    return frozenset(
        part.text
        for body in rules.values()
        for part in parts_of(body)
        if isinstance(part, jsgf.Word)
    )


def tags_of(rules: Iterable[jsgf.Expression]) -> frozenset[str]:
    """Every tag in ``rules``."""
    return frozenset(
        part.text for body in rules for part in parts_of(body) if isinstance(part, jsgf.Tag)
    )


def _shape(  # noqa: PLR0911 - one for each class
    body: jsgf.Expression, shaped: Mapping[str, jsgf.Expression | None], *, tags: bool = True
) -> jsgf.Expression | None:
    """``body`` without void parts; None when nothing can be said."""
    match body:
        case jsgf.Word(text):
            # A comma is seen, never heard.
            return SILENCE if text == COMMA and not tags else body
        case jsgf.Tag():
            return body if tags else SILENCE
        case jsgf.Ref(name):
            return _shape_ref(body, name, shaped)
        case jsgf.Sequence(parts):
            return _shape_sequence([_shape(part, shaped, tags=tags) for part in parts])
        case jsgf.Alternatives(options, weights):
            return _shape_alternatives([_shape(o, shaped, tags=tags) for o in options], weights)
        case jsgf.Optional(inner):
            kept = _shape(inner, shaped, tags=tags)
            return SILENCE if kept is None or kept == SILENCE else jsgf.Optional(kept)
        case jsgf.Repeat(inner, at_least):
            kept = _shape(inner, shaped, tags=tags)
            if kept is None:
                return None if at_least else SILENCE
            return SILENCE if kept == SILENCE else jsgf.Repeat(kept, at_least)


def _shape_ref(
    body: jsgf.Ref, name: str, shaped: Mapping[str, jsgf.Expression | None]
) -> jsgf.Expression | None:
    if name == NULL:
        return SILENCE
    if name == VOID:
        return None
    target = shaped.get(name, SILENCE)
    return body if target not in (None, SILENCE) else target


def _shape_sequence(parts: list[jsgf.Expression | None]) -> jsgf.Expression | None:
    flat: list[jsgf.Expression] = []
    for part in parts:
        if part is None:
            return None
        flat.extend(part.parts if isinstance(part, jsgf.Sequence) else (part,))
    return flat[0] if len(flat) == 1 else jsgf.Sequence(tuple(flat))


def _shape_alternatives(
    options: list[jsgf.Expression | None], weights: tuple[float, ...]
) -> jsgf.Expression | None:
    kept = [(o, w) for o, w in zip(options, weights, strict=True) if o is not None]
    said = [(o, w) for o, w in kept if o != SILENCE]
    if not kept:
        return None
    if not said:
        return SILENCE
    whole: jsgf.Expression = (
        said[0][0]
        if len(said) == 1
        else jsgf.Alternatives(tuple(o for o, _ in said), tuple(w for _, w in said))
    )
    return whole if len(said) == len(kept) else jsgf.Optional(whole)


def _used(root: str, rules: Mapping[str, jsgf.Expression]) -> set[str]:
    used: set[str] = set()
    waiting = [root]
    while waiting:
        name = waiting.pop()
        if name not in used and name in rules:
            used.add(name)
            waiting.extend(references(rules[name]))
    return used
