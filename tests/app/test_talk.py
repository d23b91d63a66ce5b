"""Ways to talk that cannot be used are refused before the job begins."""

import pytest

from voiceassist.app import build
from voiceassist.app.settings.settings import Settings
from voiceassist.app.sources import ready
from voiceassist.errors import LanguageError, RecogniseError, SettingsError

SHOP = build.Components(Settings(listener="sphinx"))


def test_a_name_the_listener_cannot_know_is_refused_with_what_would_do() -> None:
    with pytest.raises(RecogniseError) as caught:
        ready(SHOP, "zorblax")
    assert "'zorblax' cannot be the name to call" in str(caught.value)
    assert "no pronunciation" in str(caught.value)
    assert "choose another word" in str(caught.value)


def test_a_name_that_is_a_command_is_refused() -> None:
    with pytest.raises(LanguageError, match="already means something"):
        ready(SHOP, "stop")


def test_the_name_that_is_set_at_first_can_be_heard() -> None:
    ready(SHOP, Settings().name).close()


@pytest.mark.parametrize(
    ("change", "found"),
    [({"talk": "loudly"}, "choose open, name or key"), ({"pause_s": "3"}, "choose 0.4 to 1.2")],
)
def test_a_way_to_talk_that_is_not_there_is_named(change: dict[str, object], found: str) -> None:
    with pytest.raises(SettingsError, match=found):
        Settings().changed(change, "here")
