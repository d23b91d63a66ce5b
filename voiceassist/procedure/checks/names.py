"""Names that are taken twice."""

from collections.abc import Mapping

from voiceassist.procedure.model import Procedure
from voiceassist.procedure.parts.scope import Scope


def check_names(scope: Scope, parts: Mapping[str, Procedure]) -> None:
    """Report a name that is taken twice."""
    owners: dict[str, str] = {}
    for part, holder in parts.items():
        for name in (*holder.steps, *holder.repairs, *holder.findings):
            if owners.setdefault(name, f"a part of {part!r}") != f"a part of {part!r}":
                message = f"{owners[name]} is called {name!r} too; rename this step"
                scope.blame.error(("steps", part), message)
    kinds = {"steps": "a step", "repairs": "a repair step"}
    kinds |= {"findings": "a finding", "facts": "a fact"}
    for block, kind in kinds.items():
        for name in getattr(scope.shape, block):
            if owners.setdefault(name, kind) != kind:
                message = f"{owners[name]} is called {name!r} too; rename one of them"
                scope.blame.error((block, name), message)
