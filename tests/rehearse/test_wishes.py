"""Everything that can be wished for can be said, in words that a person can add to."""

import pytest
from bench import FAN

from voiceassist import resources
from voiceassist.app import build
from voiceassist.errors import LanguageError
from voiceassist.language.expectation import Expectation
from voiceassist.language.meanings import Answer
from voiceassist.procedure.read import read_procedure
from voiceassist.rehearse.dial import ranges
from voiceassist.rehearse.free import free_text
from voiceassist.rehearse.wishes import Verb, Wish, choices, read_ways
from voiceassist.session.session import SessionSetup

SHOP = build.Components(build.settings({}))
WAYS = read_ways(SHOP.files["rehearse.toml"], "rehearse.toml")
LIBRARY = sorted(path.stem for path in resources.folder("procedures").glob("*.yaml"))


@pytest.mark.parametrize(
    ("said", "wish"),
    [
        ("unplug the module", Wish(Verb.BRING, "module plug", "out")),
        ("key to run", Wish(Verb.BRING, "key", "run")),
        ("voltage from feed pin to body earth", Wish(Verb.VOLTS, "feed pin", "body earth")),
        ("ohms from feed pin to body earth", Wish(Verb.OHMS, "feed pin", "body earth")),
        ("what do i see", Wish(Verb.LOOK)),
        ("read the meter", Wish(Verb.READ)),
        ("current in motor wire", Wish(Verb.AMPS, "motor wire")),
        ("change the fan module", Wish(Verb.CHANGE, "fan module")),
        ("does the fan wheel turn freely by hand", Wish(Verb.ASK, "turns-freely")),
    ],
)
def test_what_a_trainee_says_is_understood(said: str, wish: Wish) -> None:
    can = choices(read_procedure(FAN, "fan.yaml"), WAYS)
    found = SHOP.language.compose(Expectation(choices=can)).parse_strictly(said)
    assert found.meanings == (Answer(wish.name),)


@pytest.mark.parametrize("name", LIBRARY)
def test_no_phrase_of_a_procedure_stands_for_two_wishes(name: str) -> None:
    procedure = build.procedure(name).procedure
    dial = ranges(SessionSetup(procedure, SHOP.book, meter=build.meter("ordinary")[0]))
    said = [phrase for choice in choices(procedure, WAYS, dial) for phrase in choice.phrases]
    assert "set the meter to volts sixty" in said
    twice = {phrase for phrase in said if said.count(phrase) > 1}
    assert twice == set()


@pytest.mark.parametrize("name", LIBRARY)
def test_where_nobody_leads_each_finding_can_be_named(name: str) -> None:
    procedure = build.procedure(name).procedure
    free = read_procedure(free_text(procedure), "free.yaml", reserved=SHOP.is_reserved)
    assert set(free.findings) == set(procedure.findings)
    assert set(free.steps["cause"].routes.values()) == set(procedure.findings)


def test_ways_that_cannot_be_used_are_refused_in_a_sentence() -> None:
    with pytest.raises(LanguageError, match=r"rehearse\.toml"):
        read_ways("[ways", "rehearse.toml")
    with pytest.raises(LanguageError, match="the kinds of wish differ in"):
        read_ways('[ways]\nvolts = ["v"]\n', "rehearse.toml")


@pytest.mark.parametrize("name", LIBRARY)
def test_no_way_of_saying_has_a_stop_in_it_which_nobody_says(name: str) -> None:
    ways = [way for c in choices(build.procedure(name).procedure, WAYS) for way in c.phrases]
    assert [way for way in ways if set(way) & set(",;:!?")] == []
