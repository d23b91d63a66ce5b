"""How long proofs take: ``prove.py [--draws N] [PROCEDURE...]``.

Proves the fan procedure with all its faults, then each shipped procedure, on all cores, and
prints what was found. Then the time of one proof by how many draws and how many faults there
are, in one process: it goes with faults x draws x steps.
"""

import argparse
import sys
import time
from dataclasses import replace
from pathlib import Path

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.desk.prove import ProofSource, Prover, setup_of
from voiceassist.app.settings.settings import Settings
from voiceassist.prove.cases import cases
from voiceassist.prove.outcome import Outcome
from voiceassist.prove.proof import Proof
from voiceassist.prove.prove import DRAWS, here

FAN = "heater-fan-module"
FAN_GOAL_S, FOLDER_GOAL_S = 20.0, 180.0
SHOP = build.Components(Settings())


def timed(prover: Prover, name: str) -> tuple[Proof | None, float]:
    """The proof of a procedure and its seconds; None when it has no circuit."""
    path = resources.procedure_path(name)
    written = build.procedure(name)
    if written.procedure.circuit is None:
        return None, 0.0
    source = ProofSource.of(written.text, str(path), SHOP.settings, written.used)
    began = time.perf_counter()
    return prover.prove(setup_of(written.procedure, SHOP), source), time.perf_counter() - began


def line(name: str, proof: Proof, seconds: float, goal: str = "") -> None:
    """One line of the first table."""
    walks = (len(proof.faults) + 1) * proof.good.draws
    found, wrong = proof.many(Outcome.FOUND), proof.many(Outcome.WRONG)
    print(
        f"{name:28} {len(proof.faults):6} {found:6} {wrong:6} {proof.paths:6} {walks:7} "
        f"{seconds:7.1f} {1000 * seconds / walks:8.2f}  {goal}"
    )


def growth() -> None:
    """Time by draws and by faults."""
    procedure = build.procedure(FAN).procedure
    names = list(procedure.faults)
    print(f"\n{'faults':>7} {'draws':>6} {'walks':>6} {'steps':>7} {'s':>7} {'ms a step':>10}")
    for faults in (4, 8, 16):
        for draws in (5, 10, 20):
            kept = {name: procedure.faults[name] for name in names[:faults]}
            setup = setup_of(replace(procedure, faults=kept), SHOP)
            todo = list(cases(list(kept), draws))
            began = time.perf_counter()
            steps = sum(len(walk.taken) for walk in here(setup, 1)(todo))
            seconds = time.perf_counter() - began
            row = f"{len(kept):7} {draws:6} {len(todo):6} {steps:7}"
            print(f"{row} {seconds:7.2f} {1000 * seconds / steps:10.3f}")


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("procedures", nargs="*", help="only these, instead of all that are shipped")
    parser.add_argument("--draws", type=int, default=DRAWS)
    chosen = parser.parse_args()
    folder = resources.folder("procedures")
    names = chosen.procedures or [str(file) for file in sorted(folder.glob("*.yaml"))]
    head = f"{'faults':>6} {'found':>6} {'wrong':>6} {'paths':>6} {'walks':>7} {'s':>7}"
    print(f"{'procedure':28} {head} {'ms/walk':>8}")
    total = 0.0
    with Prover(chosen.draws) as prover:
        proof, seconds = timed(prover, FAN)
        assert proof is not None
        line(FAN, proof, seconds, f"goal {FAN_GOAL_S:g} s on 2 cores")
        for name in names:
            proof, seconds = timed(prover, name)
            total += seconds
            if proof is not None:
                line(Path(name).stem, proof, seconds)
            sys.stdout.flush()
    print(f"{'all of them':28} {total:48.1f}           goal {FOLDER_GOAL_S:g} s on 2 cores")
    growth()


if __name__ == "__main__":
    main()
