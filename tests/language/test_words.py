"""Commands, answers, corrections, choices and notes."""

import random
from decimal import Decimal

import pytest

from voiceassist.language.expectation import AT, Choice, Expectation
from voiceassist.language.filling import SUITS, fill_talk
from voiceassist.language.forms import plain_ways, ways_to_say
from voiceassist.language.language import Language
from voiceassist.language.meanings import (
    COMMANDS,
    Answer,
    Command,
    Correction,
    Lamp,
    Note,
    OverRange,
    Reading,
)
from voiceassist.language.shaping import pruned, tags_of
from voiceassist.language.step import StepGrammar
from voiceassist.language.words import cut
from voiceassist.measure.units import unit

#: Steps of every kind; commands and answers must be heard at each.
EXPECTATIONS = [
    Expectation(),
    Expectation(("voltage",), unit("V")),
    Expectation(lamp=True),
    Expectation(choices=(Choice("runs-on", ("it runs on", "keeps running")),)),
    Expectation(identifier="odometer"),
    Expectation.anything(),
]


@pytest.mark.parametrize("expectation", EXPECTATIONS)
def test_every_command_is_heard_at_every_step(language: Language, expectation: Expectation) -> None:
    grammar = language.compose(expectation)
    for name in COMMANDS:
        assert grammar.parse(language.say(Command(name))).meanings == (Command(name),)


@pytest.mark.parametrize("expectation", EXPECTATIONS)
def test_every_way_to_say_a_command_or_answer_has_one_meaning_at_every_step(
    language: Language, expectation: Expectation
) -> None:
    grammar = language.compose(expectation)
    for rule in ("commands.command", "answers.answer"):
        for meaning, ways in ways_to_say(language, rule).items():
            assert {grammar.parse(way).meanings for way in ways} == {(meaning,)}


def test_a_recogniser_searches_some_way_to_say_each_command(language: Language) -> None:
    plain = language.compose(Expectation())
    ways = plain_ways(language.rules, language.rules["commands.heard"])
    meant = [m for words, _ in ways for m in plain.parse(" ".join(words)).meanings]
    heard = {m.name for m in meant if isinstance(m, Command)}
    named = {what: [("module", ["module"])] for what in ("name", "state", "cause", "step")}
    talk = {**language.talk.rules, **fill_talk(AT, named, SUITS)}
    if "talking.heard" in talk:
        tags = tags_of(pruned(talk, "talking.heard").values())
        heard |= {tag.removeprefix("command ") for tag in tags}
    assert sorted(COMMANDS - heard) == []


def test_no_command_is_longer_than_four_words(language: Language) -> None:
    every = ways_to_say(language, "commands.command").values()
    assert not [way for ways in every for way in ways if len(way.split()) > 4], "say it in talk"


def test_the_commands_of_a_language_are_those_of_the_session(language: Language) -> None:
    said = {m.name for m in ways_to_say(language, "commands.command") if isinstance(m, Command)}
    assert said == COMMANDS


@pytest.mark.parametrize(
    ("words", "name"),
    [
        # Procedure words of radiotelephony: ICAO Annex 10 volume II, 5.2.1.5.8; from memory.
        ("say again", "repeat"),
        ("stand by", "stand-by"),
        ("go ahead", "go-ahead"),
        ("read back", "read-back"),
        ("disregard", "disregard"),
        ("speak slower", "slower"),
        ("what is the limit", "limit"),
        ("where am i", "where"),
        ("go back", "go-back"),
        ("please say again", "repeat"),
        ("What's the limit?", "limit"),
    ],
)
def test_standard_procedure_words_are_commands(
    anything: StepGrammar, words: str, name: str
) -> None:
    assert anything.parse(words).meanings == (Command(name),)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("affirm", "affirm"),
        ("yes", "affirm"),
        ("yeah", "affirm"),
        ("affirm reading", "affirm-reading"),
        ("negative", "negative"),
        ("no", "negative"),
        ("done", "done"),
        ("ready", "done"),
    ],
)
def test_answers_are_understood(anything: StepGrammar, words: str, name: str) -> None:
    assert anything.parse(words).meanings == (Answer(name),)


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("correction eight point nine", "8.9"),
        ("correction, eight point nine", "8.9"),
        ("no nine point eight", "9.8"),
        ("no, nine point eight", "9.8"),
        ("i said fifteen one five", "15"),
        ("i said fifteen, one five", "15"),
        ("I said fifty five zero", "50"),
        ("correction fifteen point two one five point two", "15.2"),
        ("correction minus three minus three", None),
        ("i said minus fifteen, one five", "-15"),
        ("i said fifteen minus one five", None),
        ("i said fifteen volts one five amps", None),
        ("i said fifteen five zero", None),
    ],
)
def test_a_correction_replaces_and_its_digits_must_agree(
    anything: StepGrammar, words: str, value: str | None
) -> None:
    wanted = () if value is None else (Correction(Reading(Decimal(value))),)
    assert anything.parse(words).meanings == wanted


def test_no_begins_a_correction_only_before_a_value(anything: StepGrammar) -> None:
    assert anything.parse("no").meanings == (Answer("negative"),)
    assert anything.parse("no light").meanings == (Lamp("off"),)
    assert anything.parse("no bright").meanings == (Correction(Lamp("bright")),)
    assert anything.parse("no over range").meanings == (Correction(OverRange()),)
    assert anything.parse("negative five").meanings == (Reading(Decimal(-5)),)


def test_an_answer_can_be_corrected(anything: StepGrammar) -> None:
    assert anything.parse("correction negative").meanings == (Correction(Answer("negative")),)


def test_a_note_keeps_the_words_that_follow(anything: StepGrammar) -> None:
    assert anything.parse("note " + "word " * 200).reason == ""
    understood = anything.parse("note the plug is green with rust at pin two")
    assert understood.meanings == (Note("the plug is green with rust at pin two"),)
    assert anything.parse("note").meanings == (Command("note"),)
    assert anything.parse("take a note that it smells").meanings == (Note("it smells"),)


def test_a_note_may_be_longer_than_any_other_phrase(anything: StepGrammar) -> None:
    words = " ".join(["word"] * 500)
    assert anything.parse(f"note {words}").meanings == (Note(words),)
    assert "longer than" in anything.parse(words).reason


def test_the_steps_own_answers_come_first(english: Language) -> None:
    choices = (
        Choice("ready-light", ("ready",)),
        Choice("one-speed", ("One speed only", "stuck at one speed")),
    )
    grammar = english.compose(Expectation(choices=choices))
    assert grammar.parse("ready").meanings == (Answer("ready-light"),)
    assert grammar.parse("stuck at one speed").meanings == (Answer("one-speed"),)
    assert grammar.parse("one speed only").meanings == (Answer("one-speed"),)
    assert grammar.parse("no, one speed only").meanings == (Correction(Answer("one-speed")),)
    assert "stuck" in grammar.words()
    assert "stuck at one speed" in grammar.jsgf()


def test_a_choice_may_hold_figures_and_signs(english: Language) -> None:
    grammar = english.compose(Expectation(choices=(Choice("full", ("12 V at pin 3/4",)),)))
    assert grammar.parse("twelve volts at pin three four").meanings == (Answer("full"),)
    assert grammar.parse("12 V at pin 3/4").meanings == (Answer("full"),)
    assert "twelve volts at pin three four" in grammar.jsgf()


def test_what_two_choices_share_means_both(english: Language) -> None:
    choices = (Choice("left", ("that side",)), Choice("right", ("that side",)))
    grammar = english.compose(Expectation(choices=choices))
    assert grammar.parse("that side").meanings == (Answer("left"), Answer("right"))


def test_help_lists_only_what_is_understood(language: Language) -> None:
    for expectation in EXPECTATIONS:
        grammar = language.compose(expectation)
        lines = grammar.help()
        assert len(lines) >= len(COMMANDS)
        assert all(len(grammar.parse(line).meanings) == 1 for line in lines)


def test_sampling_is_repeatable(anything: StepGrammar) -> None:
    first = [anything.sample(random.Random(5)) for _ in range(3)]
    assert first == [anything.sample(random.Random(5)) for _ in range(3)]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("it's showin' nowt", "it's showing nowt"),
        ("a cannit see whit ye mean", "a can't see what ye mean"),
        ("'alf a volt oot", "half a volt out"),
        ("the main pin is in again", "the main pin is in again"),
    ],
)
def test_what_is_written_as_it_is_spoken_somewhere_is_the_same_word(typed: str, words: str) -> None:
    assert cut(typed, frozenset()) == words.split()
    assert cut(typed, set(typed.split())) == typed.split()
