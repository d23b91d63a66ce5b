"""What people say around a phrase, and phrases known by a part of them.

It is asked only where the step's own grammar finds nothing, so that no phrase of that loses its
meaning. All words come from rules of the language, so that a person adds to them without code.
"""

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass, replace

from voiceassist.language.walking import Walker

#: So many words at the end may carry nothing.
_TAIL = 5
#: So many words before a part may deny it.
_CLOSELY = 3
#: Fewer words are nothing to be noted.
_NOTED = 3

Tags = Sequence[tuple[str, ...]]
Folds = Callable[[Tags], bool]


@dataclass(frozen=True, slots=True)
class Loosely:
    """What loose talk means at one step; each walker is None where the language has no such rule.

    Parts:
        before, after: words that carry nothing, before a phrase and after it.
        said: whole phrases.
        told_here: those of them that are said only where just that is awaited.
        first: known by any part, whatever else is said.
        begins, holds: phrases known by their beginning, or by any part where that tells nothing.
        hesitation: sounds of someone who thinks, wherever they come.
        figures: words of numbers; what has more of them than was understood is not understood.
        measures: those of them that tell no number by themselves.
        joined: words that may belong to the figure behind them, and then are not left out.
        digits: tell a digit beside a figure, and alone may tell none: "one".
        none: words of figures that tell none.
        point: parts the whole of a number from what is behind.
        denial: where one stands closely before a part, that is not what is meant.
        asking, relating: what begins with one is a question, unless it begins with the other.
        hailing: who begins so speaks to the assistant.
        to_a_mate: by one of these somebody else is told what to do.
        recalling: what begins so is no note, though its first word begins one.
        to_be_noted: what ends so is a note.
        aside: by any of these something is spoken of, and not told as it is here and now.
        supposing: by such a beginning too.
        tells: between the name of a value and the value, "is" or "reads".
        here: what the value that is awaited is called, each in words.
        articles: may stand before that name.
        at_name: between a value and the name of what it is of: "at the feed".
        numbered, counted: what a number is of that is no value, before it and behind it.
        pointed: names a thing by a word that may begin a number too: "that one" before "thirty".
        amends: by any of these the number before is taken back.
        taking_back: who begins so puts an answer right.
        of_before: and tells by this that it is one that he has given.
        lightly, between: carry nothing among the words of a state of the vehicle, and around it.
        no_setting: behind what may be a setting of the vehicle they tell that it is another.
        place: before one of these "in" and "on" tell a place.
        reserving: by one of these something is taken back.
        of_himself: by one of these one tells of himself, or of what is so.
        unheeding: by one of these it is not told that one does as a caution says.
        unlit: tells that the test lamp is out.
        of_it: behind it a state is told of what was asked for, without its name.
        told_before: by one of these what is told was so before, and spoilt a reading.
        not_made, forgotten: by one of these a change was not made.
        together: words that are one saying, of which no part counts: "dead easy".
        of_another: behind a number it tells by name what this is the value of.
        roughly: by one of these a number is only about right.
        as_it_should: one of these may tell what should be, and not what is.
        affirming: one of these answers yes.
        of_all: by one of these all is meant that was asked for.
        repairing: by one of these it is told what was found or done in a repair.
        undone: by one of these besides, not all that was asked for may be done.
        of_work: one of these tells how a thing works, and not how a lamp shines.
        as_it_works: all that is said so tells that, or that all is well: no danger, and no value.
        complaining: who begins so tells what is wrong, as it was told to him.
        failing: by one of these a thing does not do what it should.
        pointing: who begins so names what it is: "it's the left indicator".
        works_now, fails_still: all that is said so tells that what was mended works, or not.
        asking_behind: who ends so asks.
        broken: tells by what it looks like that a thing is at fault: "stuck on".
        the_one: somewhere in words that tell so, it names the thing: "it's the".
        being: in front of one of these stands what something is told of.
        of_meter: one of these, there, is a meter or what it shows.
        of_somebody: behind one of these something else is spoken of, unless it is of the meter.
        mending, to_mend: by one of these it is mended already, and by one of those not yet.
    """

    before: Walker | None = None
    after: Walker | None = None
    said: Walker | None = None
    told_here: Walker | None = None
    first: Walker | None = None
    begins: Walker | None = None
    holds: Walker | None = None
    hesitation: Set[str] = frozenset()
    figures: Set[str] = frozenset()
    measures: Set[str] = frozenset()
    joined: Set[str] = frozenset()
    digits: Set[str] = frozenset()
    none: Set[str] = frozenset()
    point: Set[str] = frozenset()
    denial: Set[str] = frozenset()
    asking: Set[str] = frozenset()
    relating: Walker | None = None
    hailing: Walker | None = None
    to_a_mate: Walker | None = None
    recalling: Walker | None = None
    to_be_noted: Walker | None = None
    aside: Walker | None = None
    supposing: Walker | None = None
    tells: Walker | None = None
    here: Sequence[Sequence[str]] = ()
    articles: Set[str] = frozenset()
    at_name: Set[str] = frozenset()
    numbered: Walker | None = None
    counted: Walker | None = None
    pointed: Walker | None = None
    amends: Walker | None = None
    taking_back: Walker | None = None
    of_before: Walker | None = None
    lightly: Set[str] = frozenset()
    between: Set[str] = frozenset()
    no_setting: Set[str] = frozenset()
    place: Set[str] = frozenset()
    reserving: Set[str] = frozenset()
    of_himself: Set[str] = frozenset()
    unheeding: Set[str] = frozenset()
    unlit: Walker | None = None
    of_it: Walker | None = None
    told_before: Walker | None = None
    not_made: Walker | None = None
    forgotten: Walker | None = None
    together: Walker | None = None
    of_another: Walker | None = None
    roughly: Set[str] = frozenset()
    as_it_should: Set[str] = frozenset()
    affirming: Set[str] = frozenset()
    of_all: Set[str] = frozenset()
    repairing: Set[str] = frozenset()
    undone: Set[str] = frozenset()
    of_work: Set[str] = frozenset()
    as_it_works: Walker | None = None
    complaining: Walker | None = None
    failing: Walker | None = None
    pointing: Walker | None = None
    asking_behind: Walker | None = None
    works_now: Walker | None = None
    fails_still: Walker | None = None
    broken: Walker | None = None
    the_one: Walker | None = None
    being: Set[str] = frozenset()
    of_meter: Set[str] = frozenset()
    of_somebody: Set[str] = frozenset()
    mending: Set[str] = frozenset()
    to_mend: Set[str] = frozenset()

    def whole(self) -> "Loosely":
        """The same without what is known by a part."""
        return replace(self, first=None, begins=None, holds=None)

    def plainer(self, words: Sequence[str]) -> Iterator[list[str]]:
        """The phrase with less and less around it, the fullest first."""
        yield list(words)
        plain = [word for word in words if word not in self.hesitation]
        if len(plain) < len(words):
            yield plain
        for start in (0, *self._starts(plain)):
            for end in (len(plain), *self._ends(plain, start)):
                if (start or end < len(plain)) and start < end and not self._cuts(plain, end):
                    yield plain[start:end]

    def _starts(self, words: Sequence[str]) -> Iterator[int]:
        """Where the phrase may begin, behind what carries nothing."""
        start = 0
        while self.before is not None and start < len(words):
            taken = self.before.longest_prefix(words[start:])
            if not taken:
                return
            start += taken
            if words[start - 1] not in self.joined or not self.figures & set(words[start:][:2]):
                yield start

    def _ends(self, words: Sequence[str], start: int) -> Iterator[int]:
        """Where it may end, before what carries nothing."""
        if self.after is None:
            return
        end = len(words)
        while end > start + 1 and len(words) - end < _TAIL:
            begins = range(end - 1, max(start, end - 1 - _TAIL), -1)
            tails = [at for at in begins if _first(self.after, words[at:end]) == end - at]
            yield from tails
            if not tails:
                return
            end = tails[0]

    def has_saying(self, words: Sequence[str]) -> bool:
        """Whether there is a saying in them of which no part counts."""
        return any(_first(self.together, words[at:]) for at in range(len(words)))

    def _cuts(self, words: Sequence[str], end: int) -> bool:
        """Whether a saying begins before ``end`` and goes on behind it."""
        return any(at + _first(self.together, words[at:]) > end for at in range(end))

    def of_its_name(self, words: Sequence[str]) -> tuple[list[str], bool]:
        """What is told of the awaited value behind its name, and whether it "is" or "reads" so.

        Empty where it is not named.
        """
        return next(filter(any, (self._behind(words, name) for name in self.here)), ([], False))

    def is_value_of(self, words: Sequence[str], name: Sequence[str]) -> bool:
        """Whether they tell by name what something is or reads: the name before it, or behind."""
        if self.figures >= set(name):  # "three" is not what fuse three gives
            return False
        plain = [word for word in words if word not in self.hesitation]
        before = (self._behind(plain[at:], name) for at in (0, *self._starts(plain)))
        if any(self.figures & set(rest[: 1 + told]) for rest, told in before):
            return True
        ends = plain[: len(plain) - len(name)] if plain[-len(name) :] == list(name) else []
        ends = ends[: len(ends) - bool(self.articles & set(ends[-1:]))]
        return bool(self.at_name & set(ends[-1:]) and self.figures & set(ends))

    def _behind(self, words: Sequence[str], name: Sequence[str]) -> tuple[list[str], bool]:
        """What is told behind ``name``, and whether it "is" or "reads" so."""
        words = words[bool(self.articles & set(words[:1])) :]
        called, rest = list(words[: len(name)]), list(words[len(name) :])
        if called and called[-1] == f"{name[-1]}'s" and called[:-1] == list(name[:-1]):
            return rest[_first(self.tells, rest) :], True
        if called == list(name):
            told = _first(self.tells, rest)
            return rest[told:], bool(told)
        return [], False

    def tags(self, words: Sequence[str]) -> Tags:
        """The tags of each way that all of ``words`` are one phrase."""
        return self.said.walk(words).tags if self.said is not None else ()

    def is_told_here(self, words: Sequence[str]) -> bool:
        """Whether they are a phrase for just this place, with what may stand around it."""
        return any(_first(self.told_here, each) == len(each) for each in self.plainer(words))

    def is_as_it_works(self, words: Sequence[str]) -> bool:
        """Whether all of them tell how a thing works, or that all is well."""
        return any(_first(self.as_it_works, each) == len(each) for each in self.plainer(words))

    def asks(self, words: Sequence[str]) -> bool:
        """Whether they begin as a question does."""
        return bool(self.asking & set(words[:1])) and not _first(self.relating, words)

    def hails(self, words: Sequence[str]) -> bool:
        """Whether they begin as one does who speaks to the assistant."""
        return _first(self.hailing, words) > 0

    def tells_a_mate(self, words: Sequence[str]) -> bool:
        """Whether somebody at the other end is told what to do."""
        return any(_first(self.to_a_mate, words[at:]) for at in range(len(words)))

    def complains(self, words: Sequence[str]) -> bool:
        """Whether they tell that a thing does not do what it should, or that somebody says so."""
        fails = any(_first(self.failing, words[at:]) for at in range(len(words)))
        return fails or _first(self.complaining, words) > 0

    def points_out(self, words: Sequence[str]) -> bool:
        """Whether they begin by naming what it is, and do not end as a question does."""
        ends = (
            _first(self.asking_behind, words[at:]) == len(words) - at for at in range(len(words))
        )
        return _first(self.pointing, words) > 0 and not any(ends)

    def is_off_meter(self, words: Sequence[str]) -> bool:
        """Whether something is told of what is no meter, and what none shows: "my savings are"."""
        at = next((n for n, word in enumerate(words) if word in self.being), 0)
        subject = [word for word in words[:at] if word not in self.articles]
        return bool(subject) and not self.of_meter & set(subject)

    def is_of_somebody(self, words: Sequence[str]) -> bool:
        """Whether they speak of what is somebody's: "my savings"."""
        return bool(self.of_somebody & set(words))

    def tells_works(self, words: Sequence[str]) -> bool | None:
        """Whether all of them tell that what was mended works; None where they tell neither."""
        for told, walker in ((True, self.works_now), (False, self.fails_still)):
            if any(_first(walker, each) == len(each) for each in self.plainer(words)):
                return told
        return None

    def is_mended(self, words: Sequence[str]) -> bool:
        """Whether they tell that something is mended already."""
        told = set(words)
        return bool(self.mending & told) and not self.to_mend & told

    def tells_fault(self, words: Sequence[str]) -> bool:
        """Whether they name a thing, and tell that it is broken or that it is mended."""
        named = any(_first(self.the_one, words[at:]) for at in range(len(words)))
        broken = any(_first(self.broken, words[at:]) for at in range(len(words)))
        return named and (broken or self.is_mended(words))

    def complaint_in(self, words: Sequence[str]) -> Sequence[str]:
        """What is behind the words by which somebody else is told to have said so."""
        return words[_first(self.complaining, words) :]

    def recalls(self, words: Sequence[str]) -> bool:
        """Whether they begin as talk of old times does."""
        return _first(self.recalling, words) > 0

    def noted(self, words: Sequence[str]) -> Sequence[str]:
        """What is to be noted, by the end of it; none of a value, which is one all the same."""
        ends = range(_NOTED, len(words))
        end = next((n for n in ends if _first(self.to_be_noted, words[n:]) == len(words) - n), 0)
        denied = self.denial & set(words[max(end - _CLOSELY, 0) : end])
        return () if denied or self.values_at(words[:end]) else words[:end]

    def is_aside(self, words: Sequence[str]) -> bool:
        """Whether they speak of something, and do not tell that it is so here and now."""
        plain = [word for word in words if word not in self.hesitation]
        begun = (0, *self._starts(plain))
        return any(_first(self.supposing, plain[at:]) for at in begun) or any(
            _first(self.aside, plain[at:]) for at in range(len(plain))
        )

    def is_of_another(self, words: Sequence[str]) -> bool:
        """Whether a number in them is by name the value of something else: "was the battery"."""
        return self._tells_whose(words) and not self._ends_in_this(words)

    def is_of_this(self, words: Sequence[str]) -> bool:
        """Whether a number in them is by name the value of the step: "was the feed"."""
        return self._tells_whose(words) and self._ends_in_this(words)

    def _tells_whose(self, words: Sequence[str]) -> bool:
        return any(_first(self.of_another, words[at:]) for at in range(len(words)))

    def _ends_in_this(self, words: Sequence[str]) -> bool:
        return any(list(words[-len(name) :]) == list(name) for name in self.here)

    def values_at(self, words: Sequence[str]) -> list[int]:
        """The places of figures that may be of a value: "pin three" is none, nor "ten mil bolt"."""
        runs: list[list[int]] = []
        for at, word in enumerate(words):
            if word in self.figures:
                if not (runs and runs[-1][-1] == at - 1):
                    runs.append(self._digits_before(words, at))
                runs[-1].append(at)
            elif runs and runs[-1][-1] == at - 1 and self._goes_on(words[at - 1], word):
                runs[-1].append(at)
        return [at for run in runs if not self._is_counted(words, run) for at in run]

    def _goes_on(self, before: str, word: str) -> bool:
        """Whether ``word`` is one more digit; "oh" behind a unit is none."""
        cry = word in self.joined and before in self.measures
        return word in self.digits and not cry

    def _digits_before(self, words: Sequence[str], at: int) -> list[int]:
        """The places right before a figure of what may tell a digit of the same number."""
        start = at
        while start and words[start - 1] in self.digits - self.joined:
            start -= 1
        names = self.points_at(words[:at]) or self._numbers_what(words[:start])
        return [] if names else list(range(start, at))

    def is_unlit(self, words: Sequence[str]) -> bool:
        """Whether they tell somewhere that the test lamp is out."""
        return _anywhere_in(self.unlit, words)

    def tells_before(self, words: Sequence[str]) -> bool:
        """Whether what they tell of the vehicle was so when it was read last."""
        return _anywhere_in(self.told_before, words)

    def tells_not_made(self, words: Sequence[str]) -> bool:
        """Whether they tell that a change was not made."""
        return _anywhere_in(self.not_made, words)

    def tells_forgotten(self, words: Sequence[str]) -> bool:
        """Whether they tell that something was forgotten."""
        return _anywhere_in(self.forgotten, words)

    def behind_it(self, words: Sequence[str]) -> Sequence[str]:
        """The words behind the last by which a state is told without its name; none without."""
        ends = [at + taken for at in range(len(words)) if (taken := _first(self.of_it, words[at:]))]
        return words[ends[-1] :] if ends else ()

    def points_at(self, before: Sequence[str]) -> bool:
        """Whether something is named last in the words ``before`` a figure: "that's the one"."""
        return any(
            _first(self.pointed, before[at:]) == len(before) - at for at in range(len(before))
        )

    def behind_amends(self, words: Sequence[str]) -> Sequence[str]:
        """The words behind the last by which a number before it is taken back; none without."""
        ends = [
            at + taken for at in range(len(words)) if (taken := _first(self.amends, words[at:]))
        ]
        numbers = self.figures - self.measures
        return words[max(ends) :] if ends and numbers & set(words[: max(ends)]) else ()

    def taken_back(self, words: Sequence[str]) -> tuple[Sequence[str], bool]:
        """What is said behind words that put an answer right, and whether they tell of one given.

        Nothing where there are no such words.
        """
        taken = _first(self.taking_back, words)
        if taken == len(words):  # "no wait, no"
            taken = _first(self.taking_back, words[:-1])
        told = any(_first(self.of_before, words[at:]) for at in range(taken))
        return (words[taken:], told) if taken else ((), False)

    def begins_at_point(self, words: Sequence[str]) -> bool:
        """Whether nothing is told before the point of the first number: "point six"."""
        return next((word for word in words if word in self.figures), "") in self.point

    def _is_counted(self, words: Sequence[str], run: Sequence[int]) -> bool:
        names = self._numbers_what(words[: run[0]])
        return names or any(self._is_counted_behind(words[at + 1 :]) for at in run)

    def _is_counted_behind(self, words: Sequence[str]) -> bool:
        """Whether the words behind a figure tell what it counts; "of those millivolts" does not."""
        counted = _first(self.counted, words)
        return bool(counted) and not self.measures & set(words[counted : counted + 1])

    def _numbers_what(self, before: Sequence[str]) -> bool:
        """Whether the last of the words ``before`` a figure tell what it numbers: "pin"."""
        return any(
            _first(self.numbered, before[at:]) == len(before) - at for at in range(len(before))
        )

    def of_a_part(self, words: Sequence[str], folds: Folds) -> Tags:
        """The tags of the part by which the phrase is known.

        ``folds`` tells whether the tags of a part mean something.
        """
        plain = [word for word in words if word not in self.hesitation]
        return (
            _anywhere(self.first, plain, folds)[2]
            or self._of_the_beginning(plain, folds)
            or self._held(plain, folds)
        )

    def _held(self, words: Sequence[str], folds: Folds) -> Tags:
        """The tags of any part; no number where another is told: "nearly a short, point four"."""
        at, taken, tags = _anywhere(self.holds, words, folds, self.denial)
        left = [*words[:at], "", *words[at + taken :]]
        beside = {left[place] for place in self.values_at(left)} - self.measures - self.none
        return () if _is_number(tags) and beside else tags

    def _of_the_beginning(self, words: Sequence[str], folds: Folds) -> Tags:
        for start in (0, *self._starts(words)):
            taken, tags = _longest(self.begins, words[start:], folds)
            said, left = words[start : start + taken], words[start + taken :]
            if self._cuts(words, start + taken):
                continue
            goes_on = bool((self.digits - self.joined) & set(left[:1])) and _is_value(tags)
            if not taken or goes_on:  # "one volt, one"
                continue
            if not (self.figures & set(left) and _is_value(tags)) or self._is_repeated(said, left):
                return tags
        return ()

    def _is_repeated(self, said: Sequence[str], left: Sequence[str]) -> bool:
        """Whether the figures that are left over are those of the number once more, in their order.

        "Point oh six" behind "point six" is another number.
        """
        parts = self.figures | self.joined | self.digits
        again = [word for word in left if word in parts]
        rest = iter(word for word in said if word in parts)
        return all(word in rest for word in again)


def _first(walker: Walker | None, words: Sequence[str]) -> int:
    """How many of the first words ``walker`` knows."""
    return walker.longest_prefix(words) if walker is not None else 0


def _anywhere_in(walker: Walker | None, words: Sequence[str]) -> bool:
    return any(_first(walker, words[at:]) for at in range(len(words)))


def _is_value(tags: Tags) -> bool:
    """Whether it is a number, and not a command or an answer that holds one."""
    return not any(tag.startswith(("command", "answer", "lamp")) for way in tags for tag in way)


def _is_number(tags: Tags) -> bool:
    return any(tag.startswith("digit") for way in tags for tag in way)


def _anywhere(
    walker: Walker | None, words: Sequence[str], folds: Folds, denial: Set[str] = frozenset()
) -> tuple[int, int, Tags]:
    """Where the longest part begins, how many words it has, and its tags."""
    starts = (n for n in range(len(words)) if not denial & set(words[max(n - _CLOSELY, 0) : n]))
    found = ((start, *_longest(walker, words[start:], folds)) for start in starts)
    return max(found, key=lambda one: one[1], default=(0, 0, ()))


def _longest(walker: Walker | None, words: Sequence[str], folds: Folds) -> tuple[int, Tags]:
    """How many of the first words are a part that means something, and its tags."""
    taken = walker.longest_prefix(words) if walker is not None else 0
    if walker is None or not taken:
        return 0, ()
    tags = walker.walk(words[:taken]).tags
    return (taken, tags) if folds(tags) else (0, ())
