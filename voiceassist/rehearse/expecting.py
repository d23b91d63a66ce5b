"""What is likely to be said next in a rehearsal, beside what any session waits for."""

from collections.abc import Iterable
from dataclasses import replace

from voiceassist.language.expectation import Expectation
from voiceassist.rehearse.wishes import Verb, Wish
from voiceassist.session.outputs import ConditionChange, Output


def wished(expected: Expectation, prompt: Iterable[Output]) -> Expectation:
    """``expected``; where the changes in ``prompt`` are awaited, they are brought about by wishes.

    The next reading may follow without a word between.
    """
    if "done" not in expected.awaited:
        return expected
    asked = [Wish(Verb.BRING, o.name, o.state) for o in prompt if isinstance(o, ConditionChange)]
    names = [wish.name for wish in (*asked, Wish(Verb.READ))]
    return replace(expected, awaited=(*expected.awaited, *names))
