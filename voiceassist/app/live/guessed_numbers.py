"""Numbers in words that no grammar understands: which is meant, and which replaces another."""

from voiceassist.app.live.sureness import SURER
from voiceassist.app.live.weighed import Weighed
from voiceassist.language.guess import VALUE
from voiceassist.language.meanings import Correction, Reading
from voiceassist.language.step import StepGrammar
from voiceassist.session.copying import replace
from voiceassist.session.events import Heard
from voiceassist.session.session import Session
from voiceassist.session.states import State

#: As likely as this that they tell a number, the numbers in them are asked about.
NUMBER = 0.6
#: A value said in the place of a doubtful one comes with any of these.
_REPLACING = (VALUE, "mistake", "disregard", "negative")
#: More numbers than these are not asked about.
_MOST_NUMBERS = 2
#: A digit is below.
TEN = 10
#: Beside a number that takes the place of a doubtful one, many words tell of doubt.
_FEW_WORDS = 10


def among_other_words(
    event: Heard, grammar: StepGrammar, session: Session, weighed: Weighed
) -> Heard | None:
    """``event`` with its numbers, to be asked about where one is awaited; None without any."""
    value = weighed.sum_of(VALUE, "zero")
    words = event.words
    spoken_of = grammar.manner.is_aside(words) or grammar.values.is_of_another(words)
    named = grammar.values.is_of_this(words)
    likely = (named or value * weighed.faithful >= NUMBER) and not spoken_of
    numbers = _numbers(words, grammar) if likely else ()
    if not numbers:
        return None
    if event.certain and value < SURER and not named:  # a number in other talk is no doubtful one
        return replace(event, guess=numbers[0] if len(numbers) == 1 else None)
    asked = session.state is State.MEASURE and how_many(numbers) <= _MOST_NUMBERS
    return to_confirm(event, numbers) if asked else event


def in_its_place(
    event: Heard, grammar: StepGrammar, session: Session, weighed: Weighed
) -> Heard | None:
    """A number told where one is in doubt: the same once more, or one to take its place."""
    numbers = grammar.numbers.either_way(event.words)
    if 1 < len(numbers) <= sum(grammar.answers.denies(word) for word in event.words.split()):
        return None  # "not two and not point five"
    doubted = [each.value for each in session.pending if isinstance(each, Reading)]
    undenied = _undenied(numbers, event.words, grammar)
    others = [each for each in undenied if each.value not in doubted]
    if len(others) > 1:  # "nine on the end, two point nine"
        others = [each for each in others if each.unit or each.value % 1]
    aside = grammar.manner.is_aside(event.words)
    denied = aside or grammar.answers.denies(event.words) or grammar.manner.asks(event.words)
    value = weighed.sum_of(VALUE, "affirm")
    if numbers and not others and len(numbers) == 1 and not denied and value >= NUMBER:
        again = value * weighed.faithful >= SURER and not grammar.manner.asks(event.words)
        return replace(event, meanings=numbers) if event.certain or again else event
    replacing = weighed.sum_of(*_REPLACING)
    if replacing < NUMBER or not numbers:
        return None
    if len(others) != 1:
        return event
    short = len(event.words.split()) <= _FEW_WORDS
    told = replacing >= SURER and short and _is_meant(others[0], event.words, grammar, numbers)
    new = Correction(others[0])
    if event.certain and told and not aside:  # "ten more than that"
        return replace(event, meanings=(new,))
    return replace(event, guess=new)


def _undenied(
    numbers: tuple[Reading, ...], words: str, grammar: StepGrammar
) -> tuple[Reading, ...]:
    """The number before "not", where one stands there and another behind it, else all.

    But no beginning of another: "twelve point five, with a twelve".
    """
    plain = words.split()
    at = next((at for at, word in enumerate(plain) if at and grammar.answers.denies(word)), 0)
    before = grammar.numbers.told_in(" ".join(plain[:at])) if len(numbers) > 1 and at else ()
    if len(before) == 1:
        behind = grammar.numbers.told_in(" ".join(plain[at + 2 :])) if before[0].value < TEN else ()
        return behind if len(behind) == 1 and _ends_in(behind[0], before[0]) else before
    whole = {int(each.value) for each in numbers if each.value % 1}
    return tuple(each for each in numbers if each.value not in whole)


def _ends_in(number: Reading, digit: Reading) -> bool:
    """Whether only the last digit of ``number`` was told first: "nine at the end, not five"."""
    return number.value % 1 != 0 and str(number.value).endswith(str(digit.value))


def _is_meant(
    number: Reading, words: str, grammar: StepGrammar, numbers: tuple[Reading, ...]
) -> bool:
    """Whether what is denied in ``words``, if anything, is another of its ``numbers``."""
    plain = words.split()
    denied = [at for at, word in enumerate(plain) if grammar.answers.denies(word)]
    if not denied:
        return len(numbers) == 1
    behind = grammar.numbers.told_in(" ".join(plain[denied[-1] :]))
    return len(behind) == 1 and behind[0].value != number.value and len(numbers) > 1


def to_confirm(event: Heard, numbers: tuple[Reading, ...]) -> Heard:
    """``event`` with numbers that do not count before they are confirmed."""
    return replace(event, meanings=numbers, doubtful=True, certain=False)


def _numbers(words: str, grammar: StepGrammar) -> tuple[Reading, ...]:
    """The number that takes the place of another, else all."""
    return grammar.numbers.amended_in(words) or grammar.numbers.told_in(words)


def how_many(numbers: tuple[Reading, ...]) -> int:
    """Of the same digits one was told: "eleven four" is 11.4 or 114."""
    return len({number.value.normalize().as_tuple().digits for number in numbers})
