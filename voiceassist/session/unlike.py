"""Whether a value was read with the vehicle in another state than its step is for."""

from collections.abc import Iterable, Mapping

from voiceassist.session.flowing import has_lamp
from voiceassist.session.naming import TEST_LAMP, Told
from voiceassist.session.session import Session, SessionSetup


def unlike_asked(setup: SessionSetup, session: Session, told: Iterable[Told]) -> tuple[Told, ...]:
    """Of the states that are ``told`` with a value, those in which the step is not read.

    They are other than it needs; of what is like a thing that it needs in a state, such as another
    fuse, other than as known, or as at rest.
    Where one is told as it should be as well, two values may have been told: it is left out.
    """
    told = tuple(dict.fromkeys(told))
    wanted = _wanted(setup, session)
    agreed = {name for name, state in told if wanted.get(name) == state}
    return tuple(one for one in told if one[0] in wanted and one[0] not in agreed)


def _wanted(setup: SessionSetup, session: Session) -> Mapping[str, str]:
    needed = {need.condition: need.state for need in setup.step(session).needs}
    words = {word for name in needed for word in name.split()}
    lit = {TEST_LAMP: "lit"} if has_lamp(setup, setup.step(session)) else {}
    known = {**setup.procedure.at_rest, **dict(session.conditions)}
    return {**{name: known[name] for name in known if words & set(name.split())}, **lit, **needed}
