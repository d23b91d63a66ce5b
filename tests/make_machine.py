"""Draws the table of states into ``docs/session-machine.md``: ``python tests/make_machine.py``."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from voiceassist.session.states import State
from voiceassist.session.table import (
    ALWAYS,
    BACK,
    GROUPS,
    HERE,
    LED,
    OTHERWISE,
    OUT,
    RESUMED,
    STEP,
    TABLE,
    TOLD,
    TOO_EARLY,
    WEIGHED,
    Group,
    Next,
    Row,
)

PAGE = Path(__file__).parents[1] / "docs" / "session-machine.md"
_HEAD = """# The states of a session

Drawn from the table in `voiceassist/session/table.py` by `tests/make_machine.py`. A box is a
state, a hexagon a place that the procedure or the past decides. On each arrow stand the events
that can lead there. Events that leave the session where it is are not drawn; the table has them.

"""
_GROUPS = {
    LED: "where the result leads",
    WEIGHED: "the value is taken, or asked about first",
    RESUMED: "back to what was interrupted",
}
#: Rows that states share; each is drawn once.
_SHARED: Mapping[str, Row] = {"always": ALWAYS, "back": BACK, "out": OUT}
_UNDRAWN = (TOO_EARLY, TOLD)


def page() -> str:
    """The page as it should be."""
    return _HEAD + "\n".join(["```mermaid", "flowchart LR", *_lines(), "```"]) + "\n"


def _lines() -> Iterator[str]:
    yield '  subgraph step["a step"]'
    yield from (f"    {_name(state)}" for state in State if state in GROUPS[STEP])
    yield "  end"
    yield from (f'  {group.value}{{{{"{text}"}}}}' for group, text in _GROUPS.items())
    yield from (f"  led --> {_name(s)}" for s in ("step", *_in(LED, STEP)))
    yield from (f"  weighed --> {_name(s)}" for s in ("led", *_in(WEIGHED, LED)))
    for name, row in _SHARED.items():
        yield f'  {name}(["{_where(row)}"])'
        yield from _arrows(name, row)
    for state, row in TABLE.items():
        yield from _arrows(_name(state), _own(row))
    for state, then in OTHERWISE.items():
        yield from (
            f'  {_name(state)} -->|"anything else"| {_name(one.value)}'
            for one in then.next
            if one is not HERE
        )


def _in(group: Group, without: Group) -> list[State]:
    return [state for state in State if state in GROUPS[group] - GROUPS[without]]


def _own(row: Row) -> Row:
    shared = (*_SHARED.values(), *_UNDRAWN)
    return {on: then for on, then in row.items() if not any(s.get(on) is then for s in shared)}


def _where(row: Row) -> str:
    """The states that have ``row``; those without it, where these are fewer."""
    having = [s for s in State if any(TABLE[s].get(on) is then for on, then in row.items())]
    lacking = [s for s in State if s not in having]
    if len(lacking) < len(having):
        return "in any state but " + ", ".join(lacking)
    return "in " + ", ".join(having)


def _arrows(name: str, row: Row) -> Iterator[str]:
    leading: dict[Next, list[str]] = {}
    for on, then in row.items():
        for one in then.next:
            leading.setdefault(one, []).append(on.value)
    for one, ons in leading.items():
        if one is not HERE:
            yield f'  {name} -->|"{", ".join(ons)}"| {_name(one.value)}'


def _name(state: str) -> str:
    """Mermaid reads no hyphens in names."""
    return state.replace("-", "_")


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
