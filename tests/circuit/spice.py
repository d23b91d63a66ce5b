"""The elements of a solved circuit as a netlist for ngspice, and what it says of them."""

import math
import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence

from voiceassist.circuit.elements import Curve, Drive, Emf, Ohms
from voiceassist.circuit.laws import (
    COLD_SHARE,
    FILAMENT_EXPONENT,
    Fan,
    Filament,
    Friction,
    Junction,
)
from voiceassist.circuit.network import Wired
from voiceassist.circuit.solve import Solution

NGSPICE = shutil.which("ngspice")
_OPTIONS = (
    ".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-12 itl1=2000 temp=27 tnom=27 numdgt=15"
)
_SHOWN = re.compile(r"v\(n(\d+)\) = (\S+)")


def node_voltages(found: Solution) -> dict[str, float]:
    """What ngspice says of the nodes of the circuit in ``found``, in the state it settled in."""
    assert NGSPICE is not None
    names = {node: f"n{i}" for i, node in enumerate(found.network.layout.nodes)}
    names[found.circuit.earth] = "0"
    lines = ["a circuit", _OPTIONS]
    for i, one in enumerate(found.wired):
        lines += _lines(i, one, names)
    shown = " ".join(f"v({name})" for name in names.values() if name != "0")
    lines += [".control", "set numdgt=15", "op", f"print {shown}", ".endc", ".end"]
    done = subprocess.run(
        [NGSPICE, "-b", "/dev/stdin"],
        input="\n".join(lines) + "\n",
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    said = {f"n{number}": float(value) for number, value in _SHOWN.findall(done.stdout)}
    said["0"] = 0.0
    missing = set(names.values()) - set(said)
    assert not missing, "\n".join([*lines, done.stdout, done.stderr])
    return {node: said[name] for node, name in names.items()}


def _lines(i: int, one: Wired, names: dict[str, str]) -> Iterator[str]:
    element = one.element
    a, b = names[one.a], names[one.b]
    if isinstance(element, Ohms):
        if not element.ohm:
            yield f"V{i} {a} {b} 0"
        elif math.isfinite(element.ohm):
            yield f"R{i} {a} {b} {element.ohm!r}"
    elif isinstance(element, Emf):
        inner = f"x{i}" if element.ohm else b
        yield f"V{i} {a} {inner} {element.volt!r}"
        if element.ohm:
            yield f"R{i} {inner} {b} {element.ohm!r}"
    elif isinstance(element, Curve):
        yield from _curve(i, element, a, b)
    else:
        yield from _drive(i, element, [names[node] for node in (one.a, one.b, one.c, one.d)])


def _curve(i: int, element: Curve, a: str, b: str) -> Iterator[str]:
    law = element.law
    volt = f"v({a},{b})"
    if isinstance(law, Junction):
        yield f"D{i} {a} {b} M{i}"
        yield f".model M{i} D(IS={law.saturation!r} N={law.ideality!r})"
    elif isinstance(law, Filament):
        cold = COLD_SHARE * law.hot
        # ngspice takes the slope of a power by its logarithm, and there is none of zero
        share = f"pow(abs({volt})/{law.rated!r}+1e-15,{FILAMENT_EXPONENT})"
        yield f"B{i} {a} {b} I={volt}/({cold!r}+{law.hot - cold!r}*{share})"
    elif isinstance(law, Fan):
        # V = I R + E in a loop of its own, where E is what a source of the current a E + b E² sees
        yield f"R{i} {a} e{i} {law.winding!r}"
        emf = f"v(e{i},{b})"
        yield f"B{i} e{i} {b} I={law.bearing!r}*{emf}+{law.load!r}*{emf}*abs({emf})"
    else:
        assert isinstance(law, Friction)
        standing, at = law.breaking / law.winding, law.breaking
        more = f"{standing!r}+{law.growth!r}*({volt}-{at!r})"
        less = f"-{standing!r}+{law.growth!r}*({volt}+{at!r})"
        yield f"B{i} {a} {b} I=max(min({volt}/{law.winding!r},{more}),{less})"


def _drive(i: int, element: Drive, nodes: Sequence[str]) -> Iterator[str]:
    """A steady output of the high side, or of a regulator."""
    target = element.target
    assert not target.sink
    assert not target.pulsed
    feed, earth, command, output = nodes
    if target.volt is not None:
        aim = f"min({target.volt!r},max(0,v({feed},{earth})))-v({output},{earth})"
        yield f"B{i} {feed} {output} I=min({target.limit!r},max(0,({aim})/{target.ohm!r}))"
        yield f"R{i} {output} {earth} {1 / 1e-9!r}"
        return
    points = ",".join(f"{x!r},{y!r}" for x, y in target.curve)
    low, high = target.curve[0], target.curve[-1]
    asked = f"min({high[0]!r},max({low[0]!r},v({command},{earth})))"
    aim = f"pwl({asked},{points})*max(0,v({feed},{earth}))-v({output},{earth})"
    yield f"B{i} {feed} {output} I=max(0,({aim})/{target.ohm!r})"
    yield f"R{i} {output} {earth} {1 / 1e-9!r}"


def volts_in_time(lines: Sequence[str], node: str, moments: Sequence[float]) -> list[float]:
    """What ngspice says of ``node`` at each of ``moments``, in s, of a circuit that moves."""
    assert NGSPICE is not None
    asked = [f".meas tran m{i} FIND v({node}) AT={at!r}" for i, at in enumerate(moments)]
    run = [f".tran 1m {max(moments) + 1!r} 0 2m", *asked, ".end"]
    done = subprocess.run(
        [NGSPICE, "-b", "/dev/stdin"],
        input="\n".join(["a circuit in time", *lines, *run]) + "\n",
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    said = dict(re.findall(r"^m(\d+)\s*=\s*(\S+)", done.stdout, re.MULTILINE))
    assert len(said) == len(moments), "\n".join([*lines, done.stdout, done.stderr])
    return [float(said[str(i)]) for i in range(len(moments))]
