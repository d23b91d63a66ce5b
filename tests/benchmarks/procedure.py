"""How long a procedure of 200 steps takes to read and check: ``procedure.py``.

Prints the median and the worst of 20 times, each reading the whole text anew.
"""

import statistics
import time

from voiceassist.procedure.read import inspect

STEPS, TIMES = 200, 20

_HEAD = """\
procedure: long
title: a long procedure
for: an invented vehicle
facts:
  supply: {say: the nominal supply voltage, unit: V, value: 12 V}
points:
POINTS
conditions:
  key: {off: turn the key off, run: turn the key to run}
  plug: {out: unplug the part, in: plug the part back in}
before-changing:
  plug: {key: off}
cautions:
  blades: {signal: WARNING, hazard: the fan may start by itself, avoid: keep clear of it}
steps:
  battery:
    measure: voltage between the two posts
    accept: 1.0 * supply to 1.08 * supply
    fail: weak
"""
_MEASURE = """\
  step-n{n}:
    needs: {{plug: in, key: run}}
    caution: blades
    measure: voltage from pin {n} to the frame
    accept: battery - 0.5 V to battery + {n} mV
    plausible: 0 V to 30 V
    why: the next one is taken from it
    how: hold the probe on the metal
    fail: weak
"""
_LAMP = """\
  step-n{n}:
    needs: {{plug: out, key: run}}
    lamp: between pin {n} and the frame
    why: it loads the joint
    fail: weak
"""
_TAIL = """\
  last:
    ask: does it work now
    answers: {yes: works, no: weak}
findings:
  weak: {cause: a wire is weak, correction: mend it}
  works: {cause: nothing is wrong, correction: no part changed}
"""


def written(steps: int) -> str:
    """A procedure with limits, needs, cautions and test points in as many steps."""
    points = "\n".join(f"  pin {n}: in row {n} of the plug" for n in range(1, 31))
    middle = "".join((_LAMP if n % 4 == 0 else _MEASURE).format(n=n) for n in range(1, steps - 1))
    return _HEAD.replace("POINTS", points) + middle + _TAIL


def measured(text: str, times: int) -> list[float]:
    """Milliseconds of each reading."""
    found = []
    for _ in range(times):
        began = time.perf_counter()
        procedure, faults = inspect(text)
        found.append((time.perf_counter() - began) * 1000)
        assert procedure is not None, [str(fault) for fault in faults[:3]]
        assert len(procedure.steps) == STEPS
    return found


def main() -> None:
    """Measure and print."""
    text = written(STEPS)
    times_ms = measured(text, TIMES)
    print(f"{STEPS} steps, {len(text.splitlines())} lines, {TIMES} times, milliseconds:")
    print(f"median {statistics.median(times_ms):.1f}, worst {max(times_ms):.1f}")


if __name__ == "__main__":
    main()
