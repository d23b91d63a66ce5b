"""Can every step be reached, does every path end, and is each limit's reading taken before it?"""

from voiceassist.procedure.blame import Blame
from voiceassist.procedure.model import Kind, Procedure


def check_flow(procedure: Procedure, blame: Blame) -> None:
    """Blame steps never reached, findings never reached, circles, and limits read too early."""
    reached = _reached(procedure)
    for name in procedure.steps:
        if name not in reached:
            blame.warning(("steps", name), "no path leads to this step")
    for name in procedure.findings:
        if name not in reached:
            blame.warning(("findings", name), "no path leads to this finding")
    for circle in _circles(procedure):
        blame.error(
            ("steps", circle[0]),
            "this path comes back to where it was and may never end: " + " → ".join(circle),
        )
    _check_order(procedure, blame)


def _targets(procedure: Procedure, name: str) -> list[str]:
    step = procedure.steps.get(name)
    return list(dict.fromkeys(step.routes.values())) if step else []


def _reached(procedure: Procedure) -> set[str]:
    seen: set[str] = set()
    waiting = [procedure.first]
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting += _targets(procedure, name)
    return seen


def _circles(procedure: Procedure) -> list[list[str]]:
    """Each circle once, from the step where the walk first met it."""
    circles: list[list[str]] = []
    done: set[str] = set()
    path: list[str] = []

    def walk(name: str) -> None:
        if name in path:
            circles.append([*path[path.index(name) :], name])
            return
        if name in done:
            return
        path.append(name)
        for target in _targets(procedure, name):
            walk(target)
        done.add(path.pop())

    walk(procedure.first)
    return circles


def _check_order(procedure: Procedure, blame: Blame) -> None:
    """Blame a limit that needs a reading which some path to its step does not take."""
    surely = _surely_measured(procedure)
    for name, step in procedure.steps.items():
        if step.limit is None or name not in surely:
            continue
        for missing in sorted(step.limit.names - surely[name]):
            blame.error(
                ("steps", name, "accept"),
                f"a path leads here without measuring {missing!r}, which the limit needs",
            )


def _surely_measured(procedure: Procedure) -> dict[str, frozenset[str]]:
    """For each reached step, what every path to it has measured.

    A forward data-flow analysis: sets only shrink where paths join, so it ends.
    """
    before: dict[str, frozenset[str]] = {procedure.first: frozenset()}
    waiting = [procedure.first]
    while waiting:
        name = waiting.pop()
        step = procedure.steps.get(name)
        if step is None:
            continue
        after = before[name] | ({name} if step.kind is Kind.MEASURE else set())
        for target in _targets(procedure, name):
            joined = before[target] & after if target in before else after
            if target not in before or joined != before[target]:
                before[target] = joined
                waiting.append(target)
    return before
