"""How well a listener hears a part, as tables with intervals of 95 %.

Of some phrases a question is due, however well they were heard: of a number that sounds like
another (thirteen and thirty), and of a value that the step rules out. They are counted apart.
"""

from collections.abc import Callable, Iterator, Sequence

from benchmarks.hearing.intervals import Share
from benchmarks.hearing.judge import asked_anyway
from benchmarks.hearing.odds import Told
from benchmarks.hearing.phrases import LEVELS
from benchmarks.hearing.steps import MEASURING, STEPS, english, grammar

from voiceassist.app.build import alikes
from voiceassist.doubt.alike import others_alike
from voiceassist.language.codec import from_json

_Rows = Iterator[str]
_QUESTION = frozenset({"asked", "alike"})


def has_partner(one: Told) -> bool:
    """Whether there is a number that sounds like what was said."""
    line = one.case.line
    return bool(others_alike(line["words"], grammar(line["step"]), alikes(english())))


def is_odd(one: Told) -> bool:
    """Whether the step rules out what was said."""
    line = one.case.line
    return asked_anyway((from_json(line["meaning"]),), STEPS[line["step"]])


def report(of: Sequence[Told]) -> _Rows:
    """Every table of the phrases of a part."""
    groups: dict[str, list[Told]] = {"plain": [], "partner": [], "odd": []}
    phrases = [one for one in of if one.case.line["meaning"] is not None]
    for one in phrases:
        groups["partner" if has_partner(one) else "odd" if is_odd(one) else "plain"].append(one)
    plain = groups["plain"]
    yield from _by_level("No question due", plain)
    yield from _by_level("With a partner that sounds alike", groups["partner"])
    yield from _by_level("Ruled out by the step", groups["odd"])
    yield from _by_level("All phrases", phrases)
    yield from _by("voice", lambda one: str(one.case.line["voice"]), plain)
    yield from _by("kind", _kind, plain)
    yield from _by("noise", lambda one: str(one.case.line["noise"]), plain)


def _kind(one: Told) -> str:
    kind, step = one.case.line["kind"], one.case.step
    return f"{kind}, {step}" if kind == "reading" and step in MEASURING else str(kind)


def _by_level(title: str, of: Sequence[Told]) -> _Rows:
    yield f"### {title}"
    yield ""
    yield (
        "| level | phrases | first right | taken rightly | taken wrongly | of it a wrong turn "
        "| asked | rejected | asked or rejected |"
    )
    yield "|---" * 9 + "|"
    for level in LEVELS:
        these = [one for one in of if one.case.line["level"] == level]
        if these:
            yield f"| {level} | {len(these)} | {' | '.join(map(str, _shares(these)))} |"
    yield ""


def _shares(of: Sequence[Told]) -> list[Share]:
    def share(holds: Callable[[Told], bool]) -> Share:
        return Share(sum(map(holds, of)), len(of))

    return [
        share(lambda one: one.first),
        share(lambda one: one.outcome == "right"),
        share(lambda one: one.outcome == "wrong"),
        share(lambda one: one.outcome == "wrong" and one.turned),
        share(lambda one: one.outcome in _QUESTION),
        share(lambda one: one.outcome == "rejected"),
        share(lambda one: one.outcome in {"rejected", *_QUESTION}),
    ]


def _by(title: str, name_of: Callable[[Told], str], of: Sequence[Told]) -> _Rows:
    """First right, taken wrongly, and asked or rejected, at each level."""
    yield f"### No question due, by {title}: first right / taken wrongly / asked or rejected, %"
    yield ""
    yield f"| {title} | {' | '.join(LEVELS)} |"
    yield "|---" * (1 + len(LEVELS)) + "|"
    for name in sorted({name_of(one) for one in of}):
        cells = []
        for level in LEVELS:
            these = [o for o in of if name_of(o) == name and o.case.line["level"] == level]
            first, _, wrong, *_, unsure = _shares(these)
            cells.append(f"{first} / {wrong} / {unsure}; {len(these)}" if these else "-")
        yield f"| {name} | {' | '.join(cells)} |"
    yield ""
