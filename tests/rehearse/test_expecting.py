"""Where a change to the vehicle is awaited, a trainee brings it about, and reads the meter then."""

from voiceassist.language.expectation import Expectation
from voiceassist.rehearse.expecting import wished
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.outputs import ConditionChange, Say

KEY = ConditionChange(step="feed", name="key", state="run", met=False)
PROMPT = (KEY, Say(step="feed", text="Voltage from feed pin to body earth."))


def test_the_changes_that_are_asked_for_are_awaited_beside_the_plain_word() -> None:
    awaited = wished(Expectation(awaited=("done",)), PROMPT).awaited
    assert awaited == ("done", Wish(Verb.BRING, "key", "run").name, Wish(Verb.READ).name)


def test_where_no_change_is_awaited_nothing_is_added() -> None:
    for plain in ((), ("affirm", "negative")):
        assert wished(Expectation(awaited=plain), PROMPT).awaited == plain
