"""What readings, test points and states of the vehicle are called in talk."""

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from voiceassist.language.expectation import Choice
from voiceassist.procedure.model import Need, Procedure, Step
from voiceassist.procedure.parts.asking import wording_in
from voiceassist.procedure.parts.clamp import CLAMP
from voiceassist.procedure.parts.leads import LEADS
from voiceassist.session.session import Session, SessionSetup
from voiceassist.session.shown import spoken_name
from voiceassist.session.states import State

#: A word of a name this short is no name by itself.
_SHORT = 3
#: A condition and its state.
Told = tuple[str, str]
#: In the name of what a command is about: a condition and the state it is told to be in.
IN_STATE = "/"
#: Between states of one condition, where it is told to be in any of them.
OR = "|"
#: A test lamp that is the load of a step, told to be out: no condition of the vehicle.
TEST_LAMP, UNLIT = "test lamp", "out"
#: States that are a place themselves: nobody is "in off".
_OUT = "out"
_PLACES = frozenset({"in", _OUT, "on", "off"})
#: What a question about a detail of the step begins with, in what its command is about.
ASKED = f"asked{IN_STATE}"
#: And there: what is to be changed does not give; how long something is to be done;
#: where a thing lies.
STUCK, TIME, PLACE = "stuck", "time", "place"
#: And what is told of the meter that one sentence answers.
METER, MINUS = "meter", "minus"
#: Whether it may be done alone, and by whom; and that a small part was dropped.
ALONE, DROPPED = "alone", "dropped"
#: What a question what a word of the trade means begins with there.
WORD = f"word{IN_STATE}"
#: What it begins with where the last reading is told to have been taken without what is named.
READ_SO = f"read-so{IN_STATE}"
#: What a question is about that asks what happens without what is asked for.
NEEDED = "needed"
#: What a note begins with, in what its command is about, that is a value of what is named.
UNASKED = f"unasked{IN_STATE}"
#: And of one that asks whether it is a part that is named.
PART = "part"


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
_CALLED = {
    "key": ("ignition",),
    "plug": ("connector",),
    "lamps": ("lights",),
    "headlamps": ("headlights", "lights"),
}
#: What it is called in short, where nothing else is called so.
_SHORTLY = {"headlamps": "lamps"}
#: What the clamp that joins a battery is called beside.
_BATTERY = dict.fromkeys(
    ("minus clamp", "battery clamp"), ("battery", "minus", "negative", "clamp")
)
_JOINED = {"on": ("connected",), "off": ("disconnected", "lifted")}
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


#: Other names of a state, told among other words.
_ALSO_TOLD = {
    "run": ("on", "live"),
    "idle": ("idling", "ticking over"),
    "key on": ("key in run", "key to run", "key at run", "ignition on"),
    "off": ("stopped",),
    "shut": ("closed",),
    _OUT: ("off", "unplugged", "disconnected", "pulled", "removed"),
    "in": ("plugged in", "connected", "fitted"),
}
#: An engine turns in each of its states but these.
_STANDS, _TURNS = frozenset({"off", "key on", "cold"}), ("running", "on", "started")
#: How the states of what has a plug are told without naming the plug.
_PLUG, _CONTROL = " plug", " control"
_OF_PLUGGED = {
    _OUT: ("{0} unplugged", "{0} disconnected", "unplugged {0}", "disconnected {0}"),
    "in": (
        *("{0} plugged in", "{0} connected", "plugged {0} in", "plugged in {0}", "connected {0}"),
        *("{0} reconnected", "reconnected {0}"),
    ),
}
#: And those of the plug itself; of the only one without any name too.
_BACK_IN = ("{0} on", "{0} back", "{0} home", "{0} refitted", "refitted {0}", "pushed {0} home")
_IT_IN = ("plugged back in", "plugged in again", "reconnected")
_TAKEN_OUT = ("pulled {0}", "took {0} out")
#: And what it is called in the words of the change.
_PLUGGED = re.compile(
    r"(?:.*, then )?unplug (?:the )?(\w+ ?\w+)|plug (?:the )?(\w+ ?\w+) in|(\w+ ?\w+) plugged in"
)
#: What carries nothing in what is said of a state that holds: "the engine is cold".
_EMPTY = re.compile(r"\b(?:the|is|are) ")
_AT, _WHEN = ("in", "at", "on", "to"), ("on", "at", "in", "when", "while", "with")
_ENGINE, _KEY, _KEY_ON, _GEAR = "engine", "key", "key on", "gear"


def told(procedure: Procedure, needed: Collection[str] = ()) -> tuple[Choice, ...]:
    """Each state, and the words that tell it among others, without those that carry nothing.

    Ways that two states share tell neither; but that the engine stands may be told of several
    states of it, which are named together then. The only plug that is ``needed`` is the plug;
    of several, each is called shortly.
    """
    ends = Counter(name.split()[-1] for name in procedure.conditions)
    meant = Counter(name.split()[-1] for name in needed)
    standing = tuple(_standing(procedure))
    shared = {way for choice in standing for way in choice.phrases}

    def ways(name: str, state: str, by: Mapping[str, str]) -> tuple[str, ...]:
        own = meant if name in needed and meant[name.rsplit(maxsplit=1)[-1]] == 1 else ends
        plain = dict.fromkeys(_plainly(name, state, by, own))
        several = name in needed and name.endswith(_PLUG) and ends[_PLUG.strip()] > 1
        if several and state in _PLACES:
            plain[f"{name.removesuffix(_PLUG)} {state}"] = None  # "the front out one"
        plain[_EMPTY.sub("", wording_in(procedure, name, state).holds)] = None
        return tuple(way for way in plain if way not in shared)

    each = (
        Choice(f"{name}{IN_STATE}{state}", ways(name, state, by))
        for name, by in procedure.conditions.items()
        for state in by
    )
    return (*each, *standing, *_opened(procedure))


def things(needed: Collection[str]) -> tuple[Choice, ...]:
    """What has a state that is ``needed``, and what it is called."""
    ends = Counter(name.split()[-1] for name in needed)
    return tuple(Choice(name, tuple(_things(name, ends))) for name in needed)


def _things(name: str, ends: Mapping[str, int]) -> Iterator[str]:
    last = name.rsplit(maxsplit=1)[-1]
    yield name
    if ends[last] == 1:
        yield from dict.fromkeys(way for way in (last, *_CALLED.get(last, ())) if way != name)
    if (short := _SHORTLY.get(name)) and not ends.keys() & {short, "lights"}:
        yield short
    if name.endswith(_CONTROL):
        yield name.removesuffix(_CONTROL)
    yield from _BATTERY.get(name, ())


def _plainly(name: str, state: str, states: Mapping[str, str], ends: Counter[str]) -> Iterator[str]:
    on = ("on",) if len(states) == 2 and "off" in states and state not in _PLACES else ()
    joined = _JOINED.get(state, ()) if name in _BATTERY else ()
    each = tuple(dict.fromkeys(_things(name, ends)))
    for called in each:
        for also in (*_calls(state), *_ALSO_TOLD.get(state, ()), *on, *joined):
            yield f"{called} {also}"
            yield from (f"{called} {at} {also}" for at in _AT if also not in _PLACES)
        yield from (way.format(called) for way in _TAKEN_OUT if state == _OUT)
        plug = name.endswith(_PLUG) and state == "in"
        yield from (way.format(called) for way in _BACK_IN if plug)
    yield from (_IT_IN if "plug" in each and name.endswith(_PLUG) and state == "in" else ())
    if name.endswith(_PLUG):
        by_change = _PLUGGED.fullmatch(states[state])
        own = [thing for thing in (by_change.groups() if by_change else ()) if thing]
        for called in (name, name.removesuffix(_PLUG), *own):
            yield from (way.format(called) for way in _OF_PLUGGED.get(state, ()))
    yield from _switched(states[state])
    if name == _ENGINE or (name == _KEY and "idle" in states and _ENGINE not in ends):
        yield from _turning(state, states)


def _switched(instruction: str) -> Iterator[str]:
    """Each thing that is to be on or off by the words of the change: "headlamps and blower on"."""
    *things, state = instruction.replace(" and ", " ").split()
    if state in {"on", "off"} and len(things) <= instruction.count(" and ") + 1:
        for thing in set(things) - {_ENGINE}:
            yield from (f"{called} {state}" for called in (thing, *_CALLED.get(thing, ())))


def _turning(state: str, states: Collection[str]) -> Iterator[str]:
    """How it is told that the engine turns, by a state of it or of the key."""
    if state == _KEY_ON:
        yield from (_KEY_ON, *_ALSO_TOLD[_KEY_ON])
    if state not in _STANDS and (state != "run" or _KEY_ON in states):
        yield from (f"{_ENGINE} {turns}" for turns in (*_TURNS, state, *_ALSO_TOLD.get(state, ())))


def _standing(procedure: Procedure) -> Iterator[Choice]:
    """That the engine stands, which the key may be on for as well."""
    for name, states in procedure.conditions.items():
        of_key = name == _KEY and "idle" in states and _ENGINE not in procedure.conditions
        still = [s for s in states if s in _STANDS or (of_key and s == "run")]
        if "off" in still and (name == _ENGINE or of_key):
            ways = tuple(f"{_ENGINE} {stands}" for stands in ("off", "stopped"))
            yield Choice(f"{name}{IN_STATE}{OR.join(still)}", ways)


def _opened(procedure: Procedure) -> Iterator[Choice]:
    """That what is to be shut is open, though that is no state of its own."""
    for name, states in procedure.conditions.items():
        if "shut" in states and "open" not in states:
            ways = (name, name.removesuffix("s"), "bonnet", "boot")
            yield Choice(f"{name}{IN_STATE}open", tuple(f"{called} open" for called in ways))


def _calls(state: str) -> tuple[str, ...]:
    """A state's name, and its plain form: "low" of "lowest"."""
    return (state, state.removesuffix("est")) if state.endswith("est") else (state,)


def told_by(state: str) -> Collection[str]:
    """The words that tell ``state`` by itself, where it is awaited: "that's off"."""
    return (*_calls(state), *_ALSO_TOLD.get(state, ()))


def states_of_it(needs: Sequence[Need], procedure: Procedure, words: str) -> tuple[Told, ...]:
    """What ``words`` tell of what is needed, by a state alone; the last that was asked for first.

    Nothing where one of these is as it is needed: that one may be meant.
    """
    of_each = [
        (need, state)
        for need in reversed(needs)
        for state in procedure.conditions.get(need.condition, ())
        if words in (*told_by(state), *(_JOINED.get(state, ()) * (need.condition in _BATTERY)))
    ]
    if any(need.state == state for need, state in of_each):
        return ()
    return tuple((need.condition, state) for need, state in of_each[:1])


def bare(procedure: Procedure) -> tuple[Choice, ...]:
    """Settings that are told by themselves: "on low", "when hot", and a gear with no more words."""
    return tuple(
        Choice(
            f"{name}{IN_STATE}{state}",
            (
                *(f"{when} {called}" for when in _WHEN for called in _calls(state)),
                *((state,) if name == _GEAR else ()),
            ),
        )
        for name, by_state in procedure.conditions.items()
        for state in by_state
        if state not in _PLACES and name not in {LEADS, CLAMP}
    )


def read_in(setup: SessionSetup, session: Session, told: Collection[Told]) -> str:
    """The step that was taken last of those that read what this one does, but as is ``told``.

    It tells so in its own words: "front module out". Empty where there is none.
    """
    step = setup.step(session)
    words = {word for name, state in told for word in (name.split()[0], state)}
    for result in reversed(session.ledger):
        other = setup.procedure.step(result.step)
        needed = {need.condition: need.state for need in other.needs}
        alike = other.unit and other.name != step.name and _what(other) == _what(step)
        called = words <= set(other.text.split()) and not words <= set(step.text.split())
        if alike and called and not result.superseded and needed.items() >= {*told}:
            return other.name
    return ""


def step_called(procedure: Procedure, session: Session, name: str) -> str:
    """The step that ``name`` is the name of, or the last one measured at that point; else empty."""
    if name in procedure.steps:
        return name
    measured = [r.step for r in reversed(session.ledger) if not r.superseded]
    at_point = (s for s in measured if name in {p.name for p in procedure.step(s).points})
    return next(at_point, "")


def is_of_step(step: Step, name: str) -> bool:
    """Whether ``name`` may be what ``step`` reads: its own, a point of it, or in its words."""
    told = set(f"{spoken_name(step.name)} {step.text}".replace(",", " ").split())
    return name in {step.name, *(point.name for point in step.points)} or told.issuperset(
        spoken_name(name).split()
    )


def where_is(procedure: Procedure, name: str) -> str:
    """Where the test point ``name`` is; empty when there is none so called."""
    return next((p.where for s in _all(procedure) for p in s.points if p.name == name), "")
