"""Who has hurt himself at his work is answered by that, whatever else he tells of it."""

import pytest
from talk.situations import standing_at

from voiceassist.language.meanings import Command, CommandName


@pytest.mark.parametrize("place", ["repair", "volts"])
@pytest.mark.parametrize(
    "words",
    [
        "i've just jabbed the screwdriver clean into my palm",
        "stabbed the probe into my finger",
        "i ran the drill right through my thumb",
        "poked a wire in my eye",
    ],
)
def test_a_hurt_is_a_danger_and_no_work(place: str, words: str) -> None:
    one, turn = standing_at(place)
    event = one.event(turn, words)
    assert [m for m in (*event.meanings, event.guess) if m] == [Command(CommandName.DANGER)]
