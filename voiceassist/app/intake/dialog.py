"""Asks what is wrong, and comes to the procedures that are about it, by few questions."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from voiceassist.app.catalogue import Listed
from voiceassist.app.ears.base import Ears, Utterance
from voiceassist.app.intake.fitting import Fit, Fitting
from voiceassist.app.intake.picking import PLACES, is_all, is_question, is_yes, picked
from voiceassist.doubt.policy import Accept
from voiceassist.language.expectation import Choice, Expectation
from voiceassist.language.language import Language
from voiceassist.language.meanings import Answer, Command, CommandName, Meaning
from voiceassist.language.phrasebook import Phrasebook, capitalised

_NO_WORD = re.compile(r"[^a-z0-9' -]+")
_OPENING = re.compile(
    r"^(?:(?:hiya|hi|hello|hey|um+|uh|er+m?|sorry|so|right|ok|okay|well|mate|please)\b[ ,.]*)+",
    re.IGNORECASE,
)
#: After so many answers that lead nowhere it is given up.
_TRIES = 6
#: So many procedures are asked between by name; of more, the part is asked for.
_BETWEEN = 4
#: So many complaints are told as examples.
_EXAMPLES = 3
_YES, _NO = "affirm", "negative"
#: From so many words on it may be two complaints that were not heard as such.
_TWO_FROM = 9


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
        self._complaint = ""
        self._long = ""  # so much was said that it may be two complaints

    def ask(self) -> Intent | None:
        """The procedures to begin; None when nothing more is said, or it is given up."""
        self._tell.say(self._book("intake.ask"))
        while (said := self._listen(ways(self._fitting.listed.values()))) is not None:
            if not said or said in {_YES, _NO, *PLACES}:
                self._tell.say(self._book("intake.ask"))
                continue
            if is_question(said) and not self._fitting.fit(said).sure:
                self._tell.say(self._how_to_say())
                continue
            names = self._chosen(said)
            self._keep(said)
            if names is None:
                return None
            if len(names) == 1 and self._is_of_two(said, names[0]):
                return self._with_the_other(Intent(tuple(names), opened(said)))
            if names:
                return Intent(tuple(dict.fromkeys(names)), opened(self._complaint or said))
        return None

    def _keep(self, said: str) -> None:
        """Keep the first words that told of something here: they are what the customer has."""
        told = not is_question(said) and said not in {_YES, _NO}
        if not self._complaint and told and self._fitting.fit(said).names:
            self._complaint = said

    def _is_of_two(self, said: str, name: str) -> bool:
        """Whether ``said`` may be one of two complaints that were not heard in one breath."""
        return bool(self._long) and self._fitting.tells_more(self._long, said, name)

    def _with_the_other(self, first: Intent) -> Intent:
        """Of two complaints that were not heard in one breath, the other; none is none."""
        self._left = _TRIES
        self._tell.say(self._book("intake.other"))
        said = self._listen(ways(self._fitting.listed.values()))
        names = self._chosen(said) if said and said != _NO and not is_all(said) else None
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
        same = False
        while not fit.clear:
            if not fit.names or self._is_of_another(fit):
                self._long = fit.said if len(fit.said.split()) >= _TWO_FROM else ""
                key = "intake.one_first" if self._long else "intake.nothing"
                self._tell.say(self._book(key, said=fit.said))
                return ""
            listed = [self._fitting.listed[name] for name in fit.names]
            self._tell.say(self._differing(listed) if same else self._between(fit, listed))
            said = self._answer(listed)
            if said is None:
                return None
            left = self._told(fit, said, listed)
            if left is None:
                self._tell.say(self._book("intake.none"))
                return ""
            same, fit = left == fit and len(listed) <= _BETWEEN, left
        return fit.names[0]

    def _is_of_another(self, fit: Fit) -> bool:
        """Whether much fits only by what it does, and names a thing that nothing here is about."""
        return len(fit.names) > _BETWEEN and not fit.sure and self._fitting.is_foreign(fit.said)

    def _answer(self, listed: Sequence[Listed]) -> str | None:
        """What is said to a choice; a question is answered by how they differ, and asked again."""
        many = len(listed) > _BETWEEN
        while (said := self._listen(ways(listed, by_place=not many))) is not None:
            if not said or (is_question(said) and not many):
                self._tell.say(self._differing(listed))
            else:
                return said
        return None

    def _told(self, fit: Fit, said: str, listed: Sequence[Listed]) -> Fit | None:
        """What is left of ``fit`` after the answer ``said``; None where it is none of these."""
        few = len(listed) <= _BETWEEN
        if said == _YES or (len(listed) == 1 and is_yes(said)):
            return Fit(fit.said, fit.names, sure=True)
        answer = picked(said, listed) if few else picked(said, ())
        if answer.left:
            sure = len(answer.left) < len(listed) or len(listed) == 1 or fit.sure
            return Fit(fit.said, tuple(each.name for each in answer.left), sure)
        if answer.none or said == _NO:
            return None
        return self._narrowed(fit, said)

    def _narrowed(self, fit: Fit, said: str) -> Fit:
        """What ``said`` leaves of ``fit``; where it leaves nothing, what it means by itself."""
        among = self._fitting.fit(said, fit.names)
        if among.names and len(among.names) < len(fit.names):
            return Fit(among.said, among.names, sure=True)
        alone = self._fitting.fit(said)
        if alone.sure and not set(alone.names) & set(fit.names):
            return alone  # it is about another thing
        again = self._fitting.fit(f"{fit.said} {said}")
        few = bool(fit.names) and len(fit.names) <= _BETWEEN
        return again if again.sure or not few else fit

    def _between(self, fit: Fit, listed: Sequence[Listed]) -> str:
        if len(listed) > _BETWEEN:
            return self._book("intake.which_part")
        if len(listed) == 1:
            return self._book("intake.nearest", said=fit.said, titles=listed[0].title)
        told = " ".join(
            self._book("intake.placed", place=capitalised(place), title=each.title)
            for place, each in zip(PLACES, listed, strict=False)
        )
        key = "intake.which" if fit.sure else "intake.nearest_of"
        return self._book(key, said=fit.said, titles=told)

    def _differing(self, listed: Sequence[Listed]) -> str:
        """What each is for, and which complaints it alone has."""
        told = []
        for place, each in zip(PLACES, listed, strict=False):
            others = {c for other in listed if other is not each for c in other.complaints}
            own = [c for c in each.complaints if c not in others] or list(each.complaints)
            about = each.subject.partition("(invented), ")[2] or each.title
            signs = self._book.join("list.or", own)
            told.append(self._book("intake.differs", place=place, about=about, signs=signs))
        last = "intake.say_which" if len(listed) > 1 else "intake.say_if"
        return " ".join((*told, self._book(last)))

    def _how_to_say(self) -> str:
        """How a complaint is said, with a few of them."""
        every = [each.complaints[0] for each in self._fitting.listed.values() if each.complaints]
        step = max(1, len(every) // _EXAMPLES)
        return self._book(
            "intake.how", examples=self._book.join("list.or", every[::step][:_EXAMPLES])
        )

    # --- hearing ---

    def _listen(self, choices: Sequence[Choice]) -> str | None:
        """Words, empty when they were to be said again; None when it is over."""
        while self._left:
            self._left -= 1
            meanings, words = self._heard(choices)
            if words is None or Command(CommandName.FINISH) in meanings:
                return None
            place = next((m.name for m in meanings if isinstance(m, Answer)), "")
            if place in {*PLACES, _YES, _NO}:
                return place
            if Command(CommandName.HELP) in meanings:
                self._tell.say(self._how_to_say())
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


def opened(said: str) -> str:
    """``said`` without the greeting or sound that it opens with; whole if nothing else is left."""
    return _OPENING.sub("", said) or said


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
    places = [Choice(p, (p, f"the {p}", f"the {p} one")) for p in PLACES] if by_place else []
    return (*places, *told)


def plain(text: str) -> str:
    """``text`` as words alone."""
    return " ".join(_NO_WORD.sub(" ", text.lower().replace("-", " ")).split())
