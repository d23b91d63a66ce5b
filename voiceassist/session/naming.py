"""What readings, test points and states of the vehicle are called in talk."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from voiceassist.language.expectation import Choice
from voiceassist.procedure.model import Procedure, Step
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State

#: A word of a name this short is no name by itself.
_SHORT = 3
#: In the name of what a command is about: a condition and the state it is told to be in.
IN_STATE = "/"
#: States that are a place themselves: nobody is "in off".
_OUT = "out"
_PLACES = frozenset({"in", _OUT, "on", "off"})
#: What a question about a detail of the step begins with, in what its command is about.
ASKED = f"asked{IN_STATE}"
#: What a question what a word of the trade means begins with there.
WORD = f"word{IN_STATE}"


def names(procedure: Procedure) -> tuple[Choice, ...]:
    """Steps and test points, each with the ways to call it; one word where it tells enough."""
    steps = [name for name, step in procedure.steps.items() if step.unit or step.bright_enough]
    points = dict.fromkeys(p.name for step in _all(procedure) for p in step.points)
    whole = [*dict.fromkeys([*steps, *points])]
    words = Counter(word for name in whole for word in set(spoken_name(name).split()))
    taken = {spoken_name(name) for name in whole}

    def ways(name: str) -> tuple[str, ...]:
        said = spoken_name(name)
        alone = [w for w in said.split() if words[w] == 1 and len(w) > _SHORT and w not in taken]
        return tuple(dict.fromkeys([said, *alone]))

    return tuple(Choice(name, ways(name)) for name in whole)


def here(setup: SessionSetup, session: Session, named: Sequence[Choice]) -> tuple[str, ...]:
    """What the value that is awaited is called: by its step, or by another that reads the same.

    The battery is read with the lights off, and again with them on.
    """
    if session.state is not State.MEASURE:
        return ()
    read = _what(setup.step(session))
    alike = {n for n, step in setup.procedure.steps.items() if step.unit and _what(step) == read}
    return tuple(way for one in named if one.name in alike for way in one.phrases)


def _what(step: Step) -> tuple[str, str]:
    """What is measured, and in what, without the circumstances behind the comma."""
    return step.text.split(",")[0], step.unit.quantity if step.unit is not None else ""


def _all(procedure: Procedure) -> Iterator[Step]:
    yield from procedure.steps.values()
    yield from procedure.repairs.values()


def causes(procedure: Procedure) -> tuple[Choice, ...]:
    """Findings, each with the ways to call it: by its name, by the part, or by one of its words."""
    found = {n: (spoken_name(n), f.condemns.lower()) for n, f in procedure.findings.items()}
    return called(found)


def steps(procedure: Procedure) -> tuple[Choice, ...]:
    """Steps that can be gone to by name."""
    return called({name: (spoken_name(name),) for name in procedure.steps})


def called(ways: Mapping[str, Sequence[str]]) -> tuple[Choice, ...]:
    """Each name with its ways; one that names two of them is left out of both."""
    words = {name: [*said, *_alone(said)] for name, said in ways.items()}
    often = Counter(way for own in words.values() for way in set(own))
    return tuple(
        Choice(name, tuple(dict.fromkeys(way for way in own if way and often[way] == 1)))
        for name, own in words.items()
    )


def _alone(said: Sequence[str]) -> Iterator[str]:
    return (word for way in said for word in way.split() if len(word) > _SHORT)


def states(procedure: Procedure, *, freely: bool = False) -> tuple[Choice, ...]:
    """Each state of each condition, and how somebody tells of it; ``freely`` in other words too."""
    lasts = Counter(name.split()[-1] for name in procedure.conditions)
    return tuple(
        Choice(f"{name}{IN_STATE}{state}", tuple(_ways(name, state, lasts, freely=freely)))
        for name, by_state in procedure.conditions.items()
        for state in by_state
    )


#: What else a thing is called, and its states.
_CALLED = {"key": ("ignition",), "plug": ("connector",)}
_ALSO = {
    ("key", "run"): ("on", "live", "at run"),
    ("plug", "out"): ("off", "unplugged", "disconnected"),
    ("plug", "in"): ("plugged in", "connected", "back in"),
}


def _ways(name: str, state: str, lasts: Counter[str], *, freely: bool) -> Iterator[str]:
    yield from _told(name, state, lasts)
    last = name.rsplit(maxsplit=1)[-1]
    if freely and lasts[last] == 1:
        for called in (name, last, *_CALLED.get(last, ())):
            for also in (state, *_ALSO.get((last, state), ())):
                yield from (f"{called} is {also}", f"{called}'s {also}", f"{called}'s now {also}")


def _told(name: str, state: str, lasts: Counter[str]) -> Iterator[str]:
    last = name.rsplit(maxsplit=1)[-1]
    for called in dict.fromkeys((name, *([last] if lasts[last] == 1 else []))):
        for between in (
            " is ",
            " was ",
            " is still ",
            " was still ",
            " still ",
            " are ",
            " were ",
            " ",
        ):
            yield f"{called}{between}{state}"
        yield f"{called}'s {state}"
        yield f"{called}'s still {state}"
        if state == _OUT:
            yield from (f"{who}pulled {called}" for who in ("", "i ", "i've "))
            yield f"took {called} out"
        if state not in _PLACES:
            yield f"{called}'s in {state}"
            yield f"{called} is in {state}"


def step_called(procedure: Procedure, session: Session, name: str) -> str:
    """The step that ``name`` is the name of, or the last one measured at that point; else empty."""
    if name in procedure.steps:
        return name
    measured = [r.step for r in reversed(session.ledger) if not r.superseded]
    at_point = (s for s in measured if name in {p.name for p in procedure.step(s).points})
    return next(at_point, "")


def where_is(procedure: Procedure, name: str) -> str:
    """Where the test point ``name`` is; empty when there is none so called."""
    return next((p.where for s in _all(procedure) for p in s.points if p.name == name), "")
