"""Asked what is wrong, the words of a complaint lead to the procedures that are about it."""

from collections.abc import Iterator

import languages
import pytest
from app.complaints_told import FIRST, KEPT, UNCOVERED

from voiceassist import resources
from voiceassist.app.catalogue import Listed, shipped
from voiceassist.app.ears.typed import TypedEars
from voiceassist.app.intake.dialog import Intake, Intent, opened, plain, ways
from voiceassist.app.intake.fitting import Fitting
from voiceassist.app.intake.order import shared_first
from voiceassist.language.expectation import Expectation
from voiceassist.language.phrasebook import Phrasebook
from voiceassist.procedure.read import read_procedure
from voiceassist.testing import FixedTimeline

FILES = resources.grammar_files("en")
LANGUAGE = languages.shipped()
BOOK = Phrasebook.load(FILES["sentences.toml"], LANGUAGE.say)
HORN = Listed("weak-horn", "Horn is weak", ("horn croaks", "does not work"), "a van, the horn")
LAMP = Listed("dark-lamp", "A lamp is dark", ("does not work",), "a van, left lamp")
LORRY = Listed("dark-lamp-lorry", "A lamp is dark, at 24 V", ("does not work",), "a lorry, lamp")
PUMP = Listed("fuel-pump", "Fuel pump is silent", ("engine dies", "does not work"), "a van, pump")
FAN = Listed("cab-fan", "Cab fan is slow", ("does not work",), "a van, cab fan")
ALL = (HORN, LAMP, LORRY, PUMP, FAN)


class Told:
    """Keeps what is said."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def say(self, text: str) -> None:
        self.said.append(text)

    def heard(self, words: str) -> None:
        """Nothing is shown here."""


def asked(*typed: str, listed: tuple[Listed, ...] = ALL) -> tuple[Intent | None, list[str]]:
    told = Told()
    ears = TypedEars([f"{line}\n" for line in typed], FixedTimeline())
    return Intake(LANGUAGE, BOOK, ears, told, listed).ask(), told.said


def names(*typed: str) -> tuple[str, ...]:
    intent, _ = asked(*typed)
    return intent.names if intent is not None else ()


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        (("the horn croaks",), "weak-horn"),
        (("the horn's weak",), "weak-horn"),
        (("my fuel pump is silent",), "fuel-pump"),
        (("a lamp is dark on the lorry",), "dark-lamp-lorry"),
        (("it dies when the engine is hot",), "fuel-pump"),
        (("a lamp is dark", "the second one"), "dark-lamp-lorry"),
        (("a lamp is dark", "the lorry"), "dark-lamp-lorry"),
        (("it doesn't work", "the fan"), "cab-fan"),
        (("it does not work", "a lamp", "the first"), "dark-lamp"),
        (("the radio hums", "the horn is weak"), "weak-horn"),
        (("say again", "the horn is weak"), "weak-horn"),
    ],
)
def test_the_words_of_a_complaint_lead_to_one_procedure(typed: tuple[str, ...], name: str) -> None:
    assert names(*typed) == (name,)


def test_several_that_fit_are_asked_between_by_what_tells_them_apart() -> None:
    _, said = asked("a lamp is dark")
    assert said == [
        "What is wrong with the vehicle?",
        "Is it one of these? First: A lamp is dark. Second: A lamp is dark, at 24 V.",
    ]


def test_where_many_fit_the_part_is_asked_for() -> None:
    _, said = asked("it does not work")
    assert said[-1] == "Many things can be like that. What is it that does so?"


def test_where_nothing_fits_it_says_so() -> None:
    intent, said = asked("my cat is sick")
    assert intent is None
    assert said[-1].startswith("Nothing here is about my cat is sick. Say it in other words")


@pytest.mark.parametrize("words", ["help", "hello what can i say", "how do i know which one"])
def test_help_at_the_question_tells_how_a_complaint_is_said_with_three_of_them(words: str) -> None:
    intent, said = asked(words, listed=shipped())
    assert intent is None
    assert said[-1].count(", ") == 2, said
    assert sum(each.complaints[0] in said[-1] for each in shipped()) >= 3
    assert "battery-pair" not in said[-1]


CHARGING = "battery not charging"


@pytest.mark.parametrize(
    ("answer", "name"),
    [
        ("without module", "no-charging"),
        ("second one", None),
        ("i think the second one, two wires", None),
        ("the first", None),
        ("no it is not the one with the module", "no-charging"),
        ("the one with the module", "charging-by-module"),
        ("no, not the first one", None),
    ],
)
def test_the_choice_is_made_by_place_or_by_what_it_is_not(answer: str, name: str | None) -> None:
    _, said = asked(CHARGING, listed=shipped())
    titles = {each.title: each.name for each in shipped()}
    by_place = sorted((n for t, n in titles.items() if t in said[-1]), key=lambda n: "module" in n)
    two = Fitting(shipped()).fit(CHARGING).names
    assert sorted(by_place) == sorted(two)
    assert len(two) == 2
    wanted = name or two[0 if answer == "the first" else 1]
    intent, said = asked(CHARGING, answer, listed=shipped())
    assert intent is not None
    assert intent.names == (wanted,)
    assert not any("Nothing here" in each for each in said)


@pytest.mark.parametrize(
    ("complaint", "answer", "name"),
    [
        (CHARGING, "the plain one i guess", "no-charging"),
        (CHARGING, "no charging", "no-charging"),
        (CHARGING, "battery is not charged", "no-charging"),
        ("loads of modules don't answer", "it's the two twisted wires", "can-termination"),
        ("nothing talks to the scanner", "yeah i reckon so", "can-termination"),
        ("brakes squeal", "sounds right", "wheel-speed-sensor"),
    ],
)
def test_the_choice_is_made_in_ones_own_words(complaint: str, answer: str, name: str) -> None:
    intent, said = asked(complaint, answer, listed=shipped())
    assert intent is not None, said
    assert intent.names == (name,)


def test_an_answer_that_tells_nothing_of_the_choice_leaves_it_and_tells_how_they_differ() -> None:
    told = "it's an older van and it sat in the yard"
    intent, said = asked(CHARGING, told, "the first", listed=shipped())
    assert said[2].startswith("The first is for ")
    assert intent is not None


@pytest.mark.parametrize("question", ["how do i know which one", "what is module", "i dont know"])
def test_a_question_at_the_choice_is_answered_by_how_they_differ(question: str) -> None:
    intent, said = asked(CHARGING, question, "second one", listed=shipped())
    assert "control wire from the engine module" in said[2]
    assert "lamps grow dim at idle" in said[2]
    assert intent is not None


def test_none_of_those_offered_begins_nothing() -> None:
    for words in ("none of them", "no", "neither"):
        intent, said = asked(CHARGING, words, listed=shipped())
        assert intent is None
        assert said[-1].startswith("None of these, then.")


@pytest.mark.parametrize("complaint", UNCOVERED)
def test_what_no_procedure_is_about_is_never_begun_unasked(complaint: str) -> None:
    intent, said = asked(complaint, listed=shipped())
    assert intent is None
    assert said[1].startswith(("Nothing here is", "Many things")), said


def test_the_nearest_is_begun_only_after_a_yes() -> None:
    assert asked("brakes squeal", "no", listed=shipped())[0] is None
    intent, said = asked("brakes squeal", "yes", listed=shipped())
    assert said[1].startswith("Nothing here is quite about brakes squeal. Nearest is: ")
    assert intent is not None
    assert intent.names == ("wheel-speed-sensor",)


def test_the_nearest_may_be_told_by_its_place_too() -> None:
    intent, _ = asked("brakes squeal", "the first one", listed=shipped())
    assert intent is not None
    assert intent.names == ("wheel-speed-sensor",)


def test_a_blower_that_cannot_be_turned_down_is_a_matter_of_the_heater_fan() -> None:
    for told in (
        "right, customer says the blower's stuck on flat out and he can't turn it down",
        "right mate, the blower in the van's stuck on full whack",
    ):
        intent, _ = asked(told, "the first one", listed=shipped())
        assert intent is not None
        assert intent.names == ("heater-fan-module",)


@pytest.mark.parametrize(
    "told",
    [
        "fuse keeps blowing as soon as i put it in",
        "the fuse for the reversing lights keeps blowing",
        "fuse keeps popping the second i fit it",
    ],
)
def test_a_fuse_that_keeps_blowing_is_one_that_blows_again(told: str) -> None:
    assert Fitting(shipped()).fit(told).names == ("fuse-blows-again",)


def leads(told: tuple[tuple[str, str], ...]) -> list[str]:
    """The complaints that lead neither to their procedure nor to a choice of four that has it."""
    fitting = Fitting(shipped())
    fits = {said: fitting.complaints(said) for said, _ in told}
    return [
        said
        for said, name in told
        if len(fits[said]) != 1 or name not in fits[said][0].names or len(fits[said][0].names) > 4
    ]


def test_nine_in_ten_of_the_complaints_told_in_many_ways_lead_to_their_job_or_a_short_choice() -> (
    None
):
    missed = leads(FIRST)
    assert len(missed) * 10 <= len(FIRST), missed


def test_nothing_said_or_finish_begins_nothing() -> None:
    assert asked()[0] is None
    assert asked("finish")[0] is None


def test_two_complaints_are_two_procedures_and_the_words_are_kept() -> None:
    intent, _ = asked("the horn is weak and the fuel pump is silent")
    assert intent == Intent(
        ("weak-horn", "fuel-pump"), "the horn is weak and the fuel pump is silent"
    )


def test_one_complaint_with_an_and_in_it_stays_one() -> None:
    assert names("the horn croaks and is weak") == ("weak-horn",)


LONG = "it plays up so badly that nobody here can bear it any more today"


def test_two_complaints_that_are_not_got_at_once_are_asked_for_one_by_one() -> None:
    intent, said = asked(LONG, "the horn is weak", "the fuel pump is silent")
    assert said[1] == (
        "I did not get that. If it is two complaints, say one first, and then the other."
    )
    assert intent == Intent(("weak-horn", "fuel-pump"), "the horn is weak; the fuel pump is silent")
    assert asked(LONG, "the horn is weak", "finish")[0] == Intent(
        ("weak-horn",), "the horn is weak"
    )


@pytest.mark.parametrize("answer", ["no, just that", "there isn't another one", "none", "no"])
def test_who_has_no_other_complaint_says_so_in_his_own_words(answer: str) -> None:
    intent, said = asked(LONG, "the horn is weak", answer)
    assert intent == Intent(("weak-horn",), "the horn is weak")
    assert not any("Nothing here" in each for each in said)


def test_a_long_complaint_told_again_in_other_words_is_no_second_one() -> None:
    told = "hello there mate the horn of this thing it sort of croaks a bit i guess"
    assert Fitting(ALL).tells_more(told, "the horn is weak", "weak-horn") is False
    two = "hello mate the horn croaks somewhat and besides the fuel pump plays up"
    assert Fitting(ALL).tells_more(two, "the horn is weak", "weak-horn") is True


@pytest.mark.parametrize(
    "told",
    [
        "hiya, um, the heater blower only works on full",
        "sorry, the blower for the heater, it only works on full",
        "er the blower's only got the top speed",
        "blower only runs on high",
    ],
)
def test_a_blower_that_only_works_on_full_is_one_of_its_highest_speed(told: str) -> None:
    intent, said = asked(told, listed=shipped())
    assert intent is not None, said
    assert intent.names == ("blower-resistors",)


def test_a_thing_that_nothing_here_is_about_is_told_by_its_name() -> None:
    _, said = asked("the radio does not work", listed=shipped())
    assert said[1].startswith("Nothing here is about the radio does not work.")


def test_the_complaint_that_is_kept_is_what_was_told_first_and_no_question() -> None:
    intent, _ = asked(
        "hiya, um, dash is lit up and nothing talks to the scanner",
        "no",
        "what's the data line again",
        "the two twisted wires",
        listed=shipped(),
    )
    assert intent is not None
    assert intent.complaint == "dash is lit up and nothing talks to the scanner"
    assert opened("Sorry, so the fan sticks") == "the fan sticks"
    assert opened("hello") == "hello"


def test_nonsense_is_given_up_after_a_while() -> None:
    _, said = asked(*["blah"] * 20)
    assert len(said) < 10


def test_every_shipped_complaint_is_among_what_its_words_fit() -> None:
    fitting = Fitting(shipped())
    missed = [
        (each.name, complaint)
        for each in shipped()
        for complaint in (each.title, *each.complaints)
        if each.name not in fitting.fit(complaint).names
    ]
    assert not missed


def phrases() -> Iterator[str]:
    for each in shipped():
        yield from (plain(each.title), *(plain(complaint) for complaint in each.complaints))


def test_every_shipped_complaint_can_be_said_to_a_listener() -> None:
    grammar = LANGUAGE.compose(Expectation(choices=ways(shipped())))
    unheard = [phrase for phrase in phrases() if not grammar.parse(phrase).meanings]
    assert not unheard


_PART = """
procedure: {name}
title: {name}
for: an invented vehicle
steps:
{steps}
findings:
  flat: {{cause: the battery is flat, correction: charge it}}
  bad: {{cause: it is bad, correction: mend it}}
  good: {{cause: all is well, correction: nothing to do}}
"""


def part(name: str, *steps: str) -> str:
    return _PART.format(name=name, steps="\n".join(f"  {step}" for step in steps))


def test_the_part_that_finds_sooner_what_both_can_find_goes_first() -> None:
    battery = "battery: {measure: voltage of the battery, accept: 12 V to 13 V, fail: flat}"
    other = "other: {ask: does it turn, answers: {yes: battery, no: bad}}"
    last = "last: {ask: is it dry, answers: {yes: good, no: bad}}"
    late = read_procedure(part("late", other, battery, last), "late")
    soon = read_procedure(part("soon", battery, last), "soon")
    assert [each.name for each in shared_first([late, soon])] == ["soon", "late"]
    assert [each.name for each in shared_first([soon, late])] == ["soon", "late"]


def test_hardly_any_complaint_that_nothing_was_chosen_by_begins_a_wrong_job_unasked() -> None:
    fitting = Fitting(shipped())
    wrong = [
        said
        for said, name in KEPT
        if (fits := fitting.complaints(said))[0].clear and name not in fits[0].names
    ]
    assert len(wrong) * 20 <= len(KEPT)
