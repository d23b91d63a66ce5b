"""Do words that sound alike decide between branches?"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import combinations

from voiceassist.language.meanings import COMMANDS, Answer, Command, Lamp, Meaning, Reading
from voiceassist.procedure.checks.alike import differ, spans, units_spoken
from voiceassist.procedure.model import LAMP_STATES, PASS, Kind, Procedure, Step
from voiceassist.prove.phones import Lookup, Phones, apart, spoken

#: Phrases nearer than this are taken for each other; ours: "fifteen" and "fifty" are 0.4 apart,
#: "left" and "lift" 0.25, "yes" and "no" 2.2, "five" and "nine" 1.65 (in the CMU dictionary).
NEAR = 0.7
_HUNDRED = 100


@dataclass(frozen=True, slots=True)
class Alike:
    """Two phrases that sound alike and lead to different places.

    Parts:
        step: where they can be said.
        one, other: the phrases.
        asked: the session asks for single digits there before it believes either.
        distance: how far apart they sound.
    """

    step: str
    one: str
    other: str
    asked: bool
    distance: float

    @property
    def message(self) -> str:
        """One sentence that says what, and what would do."""
        if self.asked:
            return (
                f"{self.one!r} and {self.other!r} sound alike and lie either side of the limit; "
                "the session asks for single digits there"
            )
        return (
            f"{self.one!r} and {self.other!r} sound alike and lead to different places; "
            "use another word for one of them"
        )


@dataclass(frozen=True, slots=True)
class Ear:
    """What phrases sound like.

    Parts:
        say: a meaning in words.
        lookup: a word's pronunciations.
    """

    say: Callable[[Meaning], str]
    lookup: Lookup

    def phones(self, phrase: str) -> tuple[Phones, ...]:
        """The ways to say ``phrase``."""
        return spoken(phrase, self.lookup)


def alike(procedure: Procedure, ear: Ear) -> Iterator[Alike]:
    """Every pair of phrases at a step that sound alike and lead to different places.

    For readings the whole numbers that sound alike are tried at the precision of the limit and
    told by one pair a step; a word that the dictionary lacks sounds like nothing.
    """
    pairs = near_numbers(ear)
    for step in procedure.steps.values():
        if step.kind in {Kind.MEASURE, Kind.COUNT}:
            yield from _numbers(procedure, step, pairs, ear)
        elif step.kind in {Kind.ASK, Kind.LAMP}:
            yield from _answers(step, ear)


@lru_cache(maxsize=4)
def near_numbers(ear: Ear) -> tuple[tuple[int, int, float], ...]:
    """Whole numbers below a hundred that sound alike: both, and how far apart they are."""
    ways = [ear.phones(ear.say(Reading(Decimal(n)))) for n in range(_HUNDRED)]
    found = []
    for a, b in combinations(range(_HUNDRED), 2):
        far = apart(ways[a], ways[b], NEAR)
        if far <= NEAR:
            found.append((a, b, far))
    return tuple(found)


def _numbers(
    procedure: Procedure, step: Step, pairs: Iterable[tuple[int, int, float]], ear: Ear
) -> Iterator[Alike]:
    """The nearest pair of numbers that lie on different sides of a limit; one is enough to tell."""
    found: list[Alike] = []
    for span in spans(procedure, step):
        for unit in units_spoken(step, span):
            for a, b, far in pairs:
                for base in span.hundreds(unit):
                    one, other = Reading(base + a, unit), Reading(base + b, unit)
                    if not differ(step, span, one, other):
                        continue
                    words = (ear.say(one), ear.say(other))
                    found.append(Alike(step.name, *words, asked=step.alike, distance=far))
    yield from sorted(found, key=lambda pair: pair.distance)[:1]


def _answers(step: Step, ear: Ear) -> Iterator[Alike]:
    """Answers of the step against each other, and those of its own against every command."""
    said = dict(_replies(step, ear))
    ways = {phrase: ear.phones(phrase) for phrase in said}
    for (one, to), (other, elsewhere) in combinations(said.items(), 2):
        far = apart(ways[one], ways[other], NEAR)
        if to != elsewhere and far <= NEAR:
            yield Alike(step.name, one, other, asked=False, distance=far)
    own = [phrase for reply in step.replies for phrase in (*reply.phrases, *reply.also)]
    for command in sorted(COMMANDS):
        words = ear.say(Command(command))
        for phrase in own:
            far = apart(ways[phrase], ear.phones(words), NEAR)
            if far <= NEAR:
                yield Alike(step.name, phrase, words, asked=False, distance=far)


def _replies(step: Step, ear: Ear) -> Iterator[tuple[str, str]]:
    """Each phrase that answers the step, and where it leads."""
    if step.kind is Kind.LAMP:
        yield from ((ear.say(Lamp(state)), _lamp_target(step, state)) for state in LAMP_STATES)
    for reply in step.replies:
        for phrase in (*(reply.phrases or (ear.say(Answer(reply.name)),)), *reply.also):
            yield phrase, step.routes[reply.name]


def _lamp_target(step: Step, state: str) -> str:
    if state in step.bright_enough:
        return step.routes[PASS]
    dim = step.routes.get("dim", "") if state == "flickering" else ""
    routes: Mapping[str, str] = step.routes
    return routes.get(state) or dim or routes.get("fail", "")
