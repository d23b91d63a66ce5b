"""Joins the files of one language: every rule by its full name, every use resolved."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace

from voiceassist.errors import LanguageError
from voiceassist.language import jsgf
from voiceassist.language.expectation import AT
from voiceassist.language.tags import fault

#: The grammar that each step fills in; no file has it.
EXPECTED = "expected"
#: Its rules: silence where a step takes readings, lamp states or an identifier, or figures of a
#: hundred or a thousand can occur, and void where not; the units and the answers of the step;
#: silence or void too by what is awaited now (``AT``), whether a question has a task first or
#: none, and whether it asks for something good, or a warning for what is worn or how the vehicle
#: is parked; what readings and test points are called, what
#: states of the vehicle, findings, and steps that can be gone to.
FILLED = frozenset(
    f"{EXPECTED}.{name}"
    for name in (
        "measuring",
        "flowing",
        "lamp",
        "hundreds",
        "thousands",
        "vin",
        "repair-order",
        "odometer",
        "unit",
        "choice",
        "name",
        "state",
        "cause",
        "step",
        "good",
        "pins",
        "tight",
        "turns",
        "holds",
        "hybrid",
        "only",
        "worn",
        "parked",
        "asked",
        "not-asked",
        *(f"at-{name}" for name in AT),
    )
)
#: Rules that JSGF itself has: silence, and what can never be said.
NULL, VOID = "NULL", "VOID"

Rules = Mapping[str, jsgf.Expression]
Change = Callable[[jsgf.Ref], jsgf.Expression]


def link(grammars: Iterable[jsgf.Grammar]) -> dict[str, jsgf.Expression]:
    """Every rule by full name ("numbers.digit"), with full names inside, callees first.

    Raises:
        LanguageError: a name is missing, doubled or not public, or a rule contains itself.
    """
    by_name: dict[str, jsgf.Grammar] = {}
    for grammar in grammars:
        if grammar.name in by_name:
            raise LanguageError(
                f"the grammar {grammar.name!r} is already in {by_name[grammar.name].file}",
                place=grammar.file,
            )
        by_name[grammar.name] = grammar
    known = {f"{g.name}.{r.name}": r for g in by_name.values() for r in _once(g)}
    linked: dict[str, jsgf.Expression] = {}
    for grammar in by_name.values():
        _check_tags(grammar)
        scope = _Scope(grammar, by_name, known)
        for rule in grammar.rules:
            full = f"{grammar.name}.{rule.name}"
            linked[full] = rewritten(rule.body, scope.resolve)
    places = {
        f"{g.name}.{r.name}": f"{g.file}, line {r.line}" for g in by_name.values() for r in g.rules
    }
    return _callees_first(linked, places)


def rewritten(body: jsgf.Expression, change: Change) -> jsgf.Expression:
    """The expression with every reference changed by ``change``."""
    match body:
        case jsgf.Word() | jsgf.Tag():
            return body
        case jsgf.Ref():
            return change(body)
        case jsgf.Sequence(parts):
            return jsgf.Sequence(tuple([rewritten(part, change) for part in parts]))
        case jsgf.Alternatives(options, weights):
            return jsgf.Alternatives(tuple([rewritten(o, change) for o in options]), weights)
        case jsgf.Optional(inner) | jsgf.Repeat(inner):
            return replace(body, body=rewritten(inner, change))


def parts_of(body: jsgf.Expression) -> Iterator[jsgf.Expression]:
    """The expression and everything inside it, in the order written."""
    waiting = [body]
    while waiting:
        part = waiting.pop()
        yield part
        if inside := part.inside:
            waiting.extend(reversed(inside))


def references(body: jsgf.Expression) -> frozenset[str]:
    """The names of the rules that the expression uses."""
    return frozenset(part.name for part in parts_of(body) if isinstance(part, jsgf.Ref))


def reachable(root: str, rules: Rules) -> list[str]:
    """``root`` and every rule it needs, callees first."""
    seen: dict[str, None] = {}

    def visit(name: str) -> None:
        if name in seen or name not in rules:
            return
        for inner in sorted(references(rules[name])):
            visit(inner)
        seen[name] = None

    visit(root)
    return list(seen)


def changing(rules: Rules) -> tuple[str, ...]:
    """Names of the rules that use what each step fills in, themselves or through others."""
    found: dict[str, None] = {}
    for name, body in rules.items():
        if any(r in found or r.startswith(f"{EXPECTED}.") for r in references(body)):
            found[name] = None
    return tuple(found)


class _Scope:
    """What names mean inside one file."""

    def __init__(
        self,
        grammar: jsgf.Grammar,
        grammars: Mapping[str, jsgf.Grammar],
        known: Mapping[str, jsgf.Rule],
    ) -> None:
        self.grammar = grammar
        self.known = known
        self.names = {r.name: f"{grammar.name}.{r.name}" for r in grammar.rules}
        for item in grammar.imports:
            self._import(item, grammars)

    def resolve(self, ref: jsgf.Ref) -> jsgf.Ref:
        if ref.name in {NULL, VOID} or ref.name in FILLED:
            return ref
        full = self.names.get(ref.name, ref.name)
        if full not in self.known:
            raise LanguageError(
                f"there is no rule <{ref.name}>", place=self._place(ref), remedy=self._near(ref)
            )
        if not full.startswith(self.grammar.name + ".") and not self.known[full].public:
            raise LanguageError(
                f"the rule <{full}> is not public", place=self._place(ref), remedy="make it public"
            )
        return replace(ref, name=full)

    def _import(self, item: jsgf.Ref, grammars: Mapping[str, jsgf.Grammar]) -> None:
        source, _, name = item.name.rpartition(".")
        if source not in grammars:
            raise LanguageError(
                f"there is no grammar {source!r} to import from",
                place=self._place(item),
                remedy="use one of " + ", ".join(sorted(grammars)),
            )
        offered = [r.name for r in grammars[source].rules if r.public and name in {"*", r.name}]
        if not offered:
            raise LanguageError(f"{source!r} has no public rule <{name}>", place=self._place(item))
        for rule in offered:
            self.names.setdefault(rule, f"{source}.{rule}")

    def _place(self, ref: jsgf.Ref) -> str:
        return f"{self.grammar.file}, line {ref.line}, column {ref.column}"

    def _near(self, ref: jsgf.Ref) -> str:
        alike = [name for name in sorted(self.names) if name[:3] == ref.name[:3]]
        return "did you mean " + " or ".join(f"<{name}>" for name in alike) if alike else ""


def _check_tags(grammar: jsgf.Grammar) -> None:
    for tag in (part for rule in grammar.rules for part in parts_of(rule.body)):
        if isinstance(tag, jsgf.Tag) and (wrong := fault(tag.text)):
            place = f"{grammar.file}, line {tag.line}, column {tag.column}"
            raise LanguageError(wrong, place=place)


def _once(grammar: jsgf.Grammar) -> Iterator[jsgf.Rule]:
    seen: set[str] = set()
    for rule in grammar.rules:
        if rule.name in seen:
            raise LanguageError(
                f"the rule <{rule.name}> is written twice",
                place=f"{grammar.file}, line {rule.line}",
            )
        seen.add(rule.name)
        yield rule


def _callees_first(rules: Rules, places: Mapping[str, str]) -> dict[str, jsgf.Expression]:
    done: dict[str, jsgf.Expression] = {}
    above: list[str] = []

    def visit(name: str) -> None:
        if name in above:
            circle = " in ".join(f"<{n}>" for n in [*above[above.index(name) :], name])
            raise LanguageError(
                f"a rule contains itself: {circle}",
                place=places[name],
                remedy="write it with * or +",
            )
        if name in done or name not in rules:
            return
        above.append(name)
        for inner in sorted(references(rules[name])):
            visit(inner)
        above.pop()
        done[name] = rules[name]

    for name in rules:
        visit(name)
    return done
