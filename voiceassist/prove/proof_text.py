"""A proof in words: what fails it, the table for people, and the JSON object."""

from collections.abc import Iterator
from dataclasses import asdict

from voiceassist.procedure.model import Procedure, written
from voiceassist.prove import examined_failures, examined_json, examined_tables
from voiceassist.prove.examined_json import parts_of
from voiceassist.prove.failure import Failure, how
from voiceassist.prove.outcome import Outcome, right_findings
from voiceassist.prove.proof import FaultProof, Forgotten, Proof

_GOOD = "a good vehicle"


def failures(procedure: Procedure, proof: Proof) -> Iterator[Failure]:
    """A good vehicle condemned, faults called by a wrong name, and faults never found.

    Then what an examiner finds: good parts condemned by a milder fault or by two at once.
    """
    for each in (proof.good, *proof.faults):
        right = sorted(right_findings(procedure, each.fault))
        if each.outcome is Outcome.WRONG:
            yield from _wrong(each, right)
        elif each.outcome is Outcome.UNRESOLVED:
            yield _never_found(each)
    if proof.examined is not None:
        wrong = {each.fault for each in proof.faults if each.outcome is Outcome.WRONG}
        more = examined_failures.failures(proof.examined)
        yield from (one for one in more if one.fault not in wrong)  # told above


def _wrong(each: FaultProof, right: list[str]) -> Iterator[Failure]:
    for stray, many in each.strayed:
        if not stray.finding:
            continue
        share = f"in {many} of {each.draws} draws"
        if each.fault:
            what = f"the fault {each.fault!r} is called {stray.finding!r} {share}"
            what += f", not {' or '.join(map(repr, right))}"
        else:
            what = f"{_GOOD} is condemned as {stray.finding!r} {share}"
        yield Failure(each.fault, stray.step, f"{what}: {how(stray)}")


def _never_found(each: FaultProof) -> Failure:
    stray, many = each.strayed[0]
    if each.hidden == each.draws:
        message = (
            f"the fault {each.fault!r} comes and goes, and did not show in {each.draws} draws; "
            "bring about what makes it come, or watch for longer"
        )
        return Failure(each.fault, stray.step, message, only_warns=True)
    who = f"the fault {each.fault!r} is" if each.fault else f"{_GOOD} is"
    message = f"{who} never found: in {many} of {each.draws} draws {how(stray)}"
    return Failure(each.fault, stray.step, message)


# --- for people ---


def lines(proof: Proof) -> Iterator[str]:
    """The table: a row a fault, then what else there is to know."""
    width = max(len("a good vehicle"), *(len(each.fault) for each in proof.faults or [proof.good]))
    yield f"  {'fault':{width}}  {'draws':>5} {'found':>6} {'wrong':>6} {'open':>6}  {'steps':>5}"
    for each in (proof.good, *proof.faults):
        shares = (each.found, each.wrong, each.unresolved)
        found, wrong, left = (f"{_percent(many, each.draws):>6}" for many in shares)
        name = each.fault or _GOOD
        row = f"  {name:{width}}  {each.draws:5} {found} {wrong} {left}  {each.mean_steps:5.1f}"
        yield row + _called(each)
    yield from map("  {}".format, _rest(proof))


def _called(each: FaultProof) -> str:
    """The findings that were reached, where there is more than one or a wrong one."""
    if each.found == each.draws and len(each.findings) == 1:
        return ""
    named = [f"{name or _none(each)} {many}" for name, many in each.findings.items()]
    called = ", ".join(named)
    return f"  {called}" + (f"; did not show in {each.hidden}" if each.hidden else "")


def _none(each: FaultProof) -> str:
    """Where most of those stopped that came to no finding, and why."""
    stray = next((stray for stray, _ in each.strayed if stray.trouble), None)
    return f"none ({how(stray)})" if stray is not None else "none"


def _percent(many: int, of: int) -> str:
    return f"{100 * many / of:.1f}%" if many % max(of, 1) else f"{100 * many // max(of, 1)}%"


def _rest(proof: Proof) -> Iterator[str]:
    yield (
        f"{proof.many(Outcome.FOUND)} of {len(proof.faults)} faults found; {proof.paths} paths of "
        f"{proof.shortest_path} to {proof.longest_path} steps, {proof.mean_path:.1f} on the average"
    )
    if proof.settled:
        many, draws = len(proof.settled), proof.settled[0].draws
        yield f"{many} of them settled by {draws} draws: all found, no reading near a limit"
    if proof.loops:
        yield f"steps come to more than once: {', '.join(proof.loops)}"
    if proof.unreached:
        yield f"steps that no fault leads to: {', '.join(proof.unreached)}"
    if proof.unused:
        unused = ", ".join(f"{step} {written(outcome)}" for step, outcome in proof.unused)
        yield f"branches that no fault takes: {unused}"
    if proof.close:
        close = ", ".join(f"{step} {100 * share:.1f}%" for step, share in proof.close.items())
        yield f"too close to call with this meter: {close}"
    if proof.forgotten:
        yield "a change told as done and not done (noticed, harmless, misled, open):"
    for each in proof.forgotten:
        yield f"  {_forgotten(each)}"
    if proof.examined is not None:
        yield from examined_tables.lines(proof.examined)


def _forgotten(each: Forgotten) -> str:
    change = each.change
    counts = f"{each.noticed}, {each.harmless}, {each.misled}, {each.open} of {each.walks}"
    called = f" (called {', '.join(each.findings)})" if each.findings else ""
    return f"{change.step}: {change.condition} {change.state}: {counts}{called}"


# --- for programs ---


def to_json(proof: Proof) -> dict[str, object]:
    """One JSON object. "found", "wrong" and "unresolved" count faults, and add up to "faults"."""
    more = examined_json.to_json(proof.examined) if proof.examined is not None else {}
    return more | {
        "faults": len(proof.faults),
        "found": proof.many(Outcome.FOUND),
        "wrong": proof.many(Outcome.WRONG),
        "unresolved": proof.many(Outcome.UNRESOLVED),
        **parts_of(proof, "paths", "longest_path", "shortest_path"),
        "mean_path": round(proof.mean_path, 2),
        "draws": proof.good.draws,
        "good": _counts(proof.good),
        "each": [{"fault": each.fault, **_counts(each)} for each in proof.faults],
        "unreached": list(proof.unreached),
        "unused": [{"step": s, "outcome": written(outcome)} for s, outcome in proof.unused],
        "loops": list(proof.loops),
        "close": {step: round(share, 4) for step, share in proof.close.items()},
        "forgotten": [_forgotten_json(each) for each in proof.forgotten],
    }


def _counts(each: FaultProof) -> dict[str, object]:
    """Draws by how they ended, and by finding; those without one are under an empty name."""
    return parts_of(each, "draws", "found", "wrong", "unresolved", "hidden") | {
        "findings": dict(each.findings),
        "mean_steps": round(each.mean_steps, 2),
    }


def _forgotten_json(each: Forgotten) -> dict[str, object]:
    counts = parts_of(each, "walks", "noticed", "harmless", "misled", "open")
    return asdict(each.change) | counts | {"findings": dict(each.findings)}
