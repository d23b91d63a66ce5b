"""Asks what is wrong, and comes to the procedures that are about it, by few questions."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from voiceassist.app.catalogue import Listed
from voiceassist.app.ears.base import Ears, Utterance
from voiceassist.app.intake.fitting import Fit, Fitting
from voiceassist.doubt.policy import Accept
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Command, CommandName, Meaning
from voiceassist.language.phrasebook import Phrasebook

_NO_WORD = re.compile(r"[^a-z0-9' -]+")
#: After so many answers that lead nowhere it is given up.
_TRIES = 6
#: So many procedures are asked between by name; of more, the part is asked for.
_BETWEEN = 4
#: So many things are named aloud to who asks what there is.
_NAMED = 4
#: From so many words on it may be two complaints that were not heard as such.
_TWO_FROM = 9
_PLACES = ("first", "second", "third", "fourth")


class Tell(Protocol):
    """Gives out a sentence, and shows what was heard."""

    def say(self, text: str) -> None:
        """Speak and show ``text``."""
        ...

    def heard(self, words: str) -> None:
        """Show the ``words`` that were heard."""
        ...


@dataclass(frozen=True, slots=True)
class Intent:
    """What is to be done.

    Parts:
        names: of the procedures, in no order; one or two.
        complaint: as it was told.
    """

    names: tuple[str, ...]
    complaint: str


class Intake:
    """Asks, and listens.

    Args:
        language: its grammar for each question is made of the complaints themselves.
        book: the sentences.
        ears: hear the answers.
        tell: speaks and shows.
        listed: the procedures that there are.
    """

    def __init__(
        self,
        language: Language,
        book: Phrasebook,
        ears: Ears,
        tell: Tell,
        listed: Sequence[Listed],
    ) -> None:
        self._language = language
        self._book = book
        self._ears = ears
        self._tell = tell
        self._fitting = Fitting(listed)
        self._left = _TRIES
        self._both = False  # so much was said that it may be two complaints

    def ask(self) -> Intent | None:
        """The procedures to begin; None when nothing more is said, or it is given up."""
        self._tell.say(self._book("intake.ask"))
        while (said := self._listen(ways(self._fitting.listed.values()))) is not None:
            if not said:
                self._tell.say(self._book("intake.ask"))
                continue
            names = self._chosen(said)
            if names is None:
                return None
            if names and self._both and len(names) == 1:
                return self._with_the_other(Intent(tuple(names), said))
            if names:
                return Intent(tuple(dict.fromkeys(names)), said)
        return None

    def _with_the_other(self, first: Intent) -> Intent:
        """Of two complaints that were not heard in one breath, the other; none is none."""
        self._left = _TRIES
        self._tell.say(self._book("intake.other"))
        said = self._listen(ways(self._fitting.listed.values()))
        names = self._chosen(said) if said else None
        if not said or not names:
            return first
        both = tuple(dict.fromkeys((*first.names, *names)))[:2]
        return Intent(both, f"{first.complaint}; {said}")

    def begin(self, titles: Sequence[str]) -> None:
        """Tell the order of two; one alone tells its title itself."""
        if len(titles) > 1:
            self._tell.say(self._book("intake.two", first=titles[0], second=titles[1]))

    def goes_on(self, title: str) -> bool:
        """Whether the next part of the job is wanted."""
        text = self._book("intake.next", title=title)
        self._left = _TRIES
        self._tell.say(text)
        while self._left:
            self._left -= 1
            meanings, words = self._heard(())
            if words is None:
                return False
            if Answer("affirm") in meanings or Command(CommandName.GO_AHEAD) in meanings:
                return True
            if Answer("negative") in meanings or Command(CommandName.FINISH) in meanings:
                return False
            self._tell.say(text)
        return False

    def _chosen(self, said: str) -> list[str] | None:
        """A procedure for each complaint in ``said``; empty to ask anew, None to give up."""
        names: list[str] = []
        for fit in self._fitting.complaints(said):
            name = self._one_of(fit)
            if not name:
                return [] if name is not None else None
            names.append(name)
        return names

    def _one_of(self, fit: Fit) -> str | None:
        """The one procedure that is meant; empty when none is, None when nobody answers."""
        while not fit.clear:
            if not fit.names:
                self._both = len(fit.said.split()) >= _TWO_FROM
                one = self._book("intake.one_first") if self._both else self._nothing(fit.said)
                self._tell.say(one)
                return ""
            listed = [self._fitting.listed[name] for name in fit.names]
            many = len(listed) > _BETWEEN
            self._tell.say(self._book("intake.which_part") if many else self._between(listed))
            said = self._listen(ways(listed, by_place=not many))
            if said is None:
                return None
            if said in _PLACES[: len(listed)]:
                return listed[_PLACES.index(said)].name
            fit = self._narrowed(fit, said)
        return fit.names[0]

    def _narrowed(self, fit: Fit, said: str) -> Fit:
        """What ``said`` leaves of ``fit``; where it leaves nothing, what it means by itself."""
        among = self._fitting.fit(said, fit.names)
        if among.names and len(among.names) < len(fit.names):
            return among
        again = self._fitting.fit(f"{fit.said} {said}")
        return again if again.names and again.names != fit.names else self._fitting.fit(said)

    def _between(self, listed: Sequence[Listed]) -> str:
        told = self._book.join("list.or", [each.title for each in listed])
        return self._book("intake.which", titles=told)

    def _nothing(self, said: str) -> str:
        names = [name.replace("-", " ") for name in self._fitting.listed]
        more = max(0, len(names) - _NAMED)
        named = self._book.join("list.and", names[:_NAMED])
        key = "intake.nothing_more" if more else "intake.nothing"
        return self._book(key, said=said, things=named, count=more)

    def _there_is(self) -> str:
        names = (name.replace("-", " ") for name in self._fitting.listed)
        return self._book("intake.there_is", things=self._book.join("list.and", names))

    # --- hearing ---

    def _listen(self, choices: Sequence[Choice]) -> str | None:
        """Words, empty when they were to be said again; None when it is over."""
        while self._left:
            self._left -= 1
            meanings, words = self._heard(choices)
            if words is None or Command(CommandName.FINISH) in meanings:
                return None
            place = next((m.name for m in meanings if isinstance(m, Answer)), "")
            if place in _PLACES:
                return place
            if Command(CommandName.HELP) in meanings:
                self._tell.say(self._there_is())
            elif words and not _asks(meanings):
                return words
            elif words:
                return ""
            else:
                self._tell.say(self._book("nothing.unsure"))
        return None

    def _heard(self, choices: Sequence[Choice]) -> tuple[tuple[Meaning, ...], str | None]:
        """What was said, and its words; None for the words when no more will come."""
        grammar = self._language.compose(Expectation(choices=tuple(choices)))
        while True:
            said = self._ears.listen(grammar)
            if said is None:
                return (), None
            if isinstance(said, Utterance):
                break
        meanings, words = _understood(said)
        self._tell.heard(words)
        return meanings, words


def _asks(meanings: Sequence[Meaning]) -> bool:
    """It was only to be said again."""
    return Command(CommandName.REPEAT) in meanings


def _understood(said: Utterance) -> tuple[tuple[Meaning, ...], str]:
    """What typed words are, or what sound was taken for; of the rest what was written."""
    if said.judgement is None:
        return said.meanings, said.words
    decision = said.judgement.decided(str)
    if isinstance(decision, Accept):
        return decision.key, said.judgement.words_for(decision.key)
    return (), said.judgement.spelled or said.words


def ways(listed: Iterable[Listed], *, by_place: bool = False) -> tuple[Choice, ...]:
    """Every complaint and title as something to be said."""
    found: dict[str, None] = {}
    for each in listed:
        for text in (each.title, each.name.replace("-", " "), *each.complaints):
            for way in (plain(text), *(plain(part) for part in re.split(r"[,;]| or ", text))):
                found[way] = None
                found[f"the {way}"] = None
    told = [Choice(f"complaint {n}", (way,)) for n, way in enumerate(found) if way]
    places = [Choice(p, (p, f"the {p}", f"the {p} one")) for p in _PLACES] if by_place else []
    return (*places, *told)


def plain(text: str) -> str:
    """``text`` as words alone."""
    return " ".join(_NO_WORD.sub(" ", text.lower().replace("-", " ")).split())
