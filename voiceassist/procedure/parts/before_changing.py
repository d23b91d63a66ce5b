"""What must hold while a condition is changed."""

from collections.abc import Mapping

from voiceassist.procedure.model import Need
from voiceassist.procedure.parts.scope import Scope
from voiceassist.procedure.text.tree import Path

_BLOCK = "before-changing"


def before_changing_of(scope: Scope) -> dict[str, tuple[Need, ...]]:
    """Condition to the states that must hold while it is changed."""
    found = {}
    for name, needs in scope.shape.before_changing.items():
        path: Path = (_BLOCK, name)
        if scope.check_condition(path, name):
            found[name] = scope.needs(path, needs)
    for name in found:
        _check_circle(name, found, scope)
    return found


def _check_circle(name: str, found: Mapping[str, tuple[Need, ...]], scope: Scope) -> None:
    """Blame a condition that must, in the end, be changed before itself."""
    chain, seen = [name], {name}
    waiting = [need.condition for need in found[name]]
    while waiting:
        other = waiting.pop()
        if other == name:
            through = " → ".join([*chain, name])
            message = f"{name!r} would have to be changed before itself"
            scope.blame.error((_BLOCK, name), f"{message}: {through}; take one of them out")
            return
        if other not in seen:
            seen.add(other)
            chain.append(other)
            waiting += [need.condition for need in found.get(other, ())]
