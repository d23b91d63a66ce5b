"""Which of several meanings of the same words is kept, and why there is none."""

from collections.abc import Iterable, Iterator

from voiceassist.language.meanings import Answer, Command, CommandName, Correction, Meaning, Series
from voiceassist.language.walking import PhraseWalk

COMMA = ","
#: How many expected words a reason names.
_NAMED = 12


def plainest(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """All values that loose talk may mean, to be asked about; of commands and answers the first.

    What must not be done goes before all. One that tells what it is about says more than one that
    does not; of states of the vehicle each is told. Beside a value stands what was told with it,
    the state of the vehicle or that one is back: "plug's in, eight point four".
    """
    if not any(isinstance(m, Command | Answer) for m in meanings):
        return meanings
    if unsafe := [m for m in meanings if isinstance(m, Command) and m.name == CommandName.UNSAFE]:
        return tuple(unsafe[:1])
    if isinstance(meanings[0], Answer):  # it is awaited, and its rule stands first
        return meanings[:1]
    telling = [m for m in meanings if isinstance(m, Command) and m.about]
    values = tuple(m for m in meanings if not isinstance(m, Command | Answer))
    told = tuple(m for m in meanings if isinstance(m, Command) and _is_told_with_a_value(m))[:1]
    states = tuple(m for m in telling if m.name == CommandName.FORGOT)
    return (*values, *told) if values else states or tuple(telling[:1]) or meanings[:1]


def _is_told_with_a_value(command: Command) -> bool:
    return command.name == CommandName.GO_AHEAD or (
        command.name == CommandName.FORGOT and bool(command.about)
    )


def is_series(meaning: Meaning) -> bool:
    """Whether it is several values, or corrects one by several."""
    inner = meaning.meaning if isinstance(meaning, Correction) else meaning
    return isinstance(inner, Series)


def distinct(meanings: Iterable[Meaning]) -> Iterator[Meaning]:
    """Each once; 12.6 and 12.60 are two, for the last digit given matters."""
    seen: set[str] = set()
    for meaning in meanings:
        written = repr(meaning)
        if written not in seen:
            seen.add(written)
            yield meaning


def reason(way: PhraseWalk, words: list[str]) -> str:
    """Why ``words`` mean nothing here, and what they could go on with."""
    if way.too_many:
        return "this can be taken in too many ways; say it in parts"
    if way.tags:
        return "these words do not fit together as one value"
    understood = " ".join(words[: way.taken])
    known = sorted(way.expected - {COMMA})
    listed = ", ".join(known[:_NAMED]) + (", ..." if len(known) > _NAMED else "")
    if way.taken >= len(words):
        return f"it stops after {understood!r}; expected {listed}"
    where = f"after {understood!r}, " if understood else ""
    wanted = f"; expected {listed}" if understood and known else ""
    return f"{where}{words[way.taken]!r} does not fit{wanted}"
