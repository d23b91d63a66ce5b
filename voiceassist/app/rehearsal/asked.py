"""What is asked of a rehearsal, and how an instructor hands it out without telling the fault."""

import base64
import json
import secrets
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

import numpy as np

from voiceassist import resources
from voiceassist.errors import ResourceError, SessionError, SettingsError
from voiceassist.procedure.model import Procedure
from voiceassist.rehearse.marks import Strictness

_E = TypeVar("_E", bound=StrEnum)
_SEAL = "voiceassist rehearsal "
_MOST_SEED = 2**31


class Mode(StrEnum):
    """Who leads: the procedure, or the trainee himself."""

    LED = "led"
    FREE = "free"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for.

    Parts:
        mode: who leads.
        fault: in the vehicle; empty to have one drawn by how likely each is.
        seed: of the draws; None for another one each time.
        how: how hard slips count.
    """

    mode: Mode = Mode.LED
    fault: str = ""
    seed: int | None = None
    how: Strictness = Strictness.MILD

    def settled(self, procedure: Procedure) -> "Settled":
        """With the fault and the seed drawn.

        Raises:
            SessionError: ``procedure`` has no circuit, or no such fault.
        """
        if procedure.circuit is None or not procedure.faults:
            raise SessionError(
                "it has no circuit with faults, so there is no vehicle to practise on",
                place=procedure.name,
                remedy="choose another procedure, or write its circuit: procedures/WRITING.md",
            )
        if self.fault and self.fault not in procedure.faults:
            raise SessionError(
                f"{procedure.name} has no fault {self.fault!r}",
                place="--fault",
                remedy="use one of " + ", ".join(procedure.faults),
            )
        seed = self.seed if self.seed is not None else secrets.randbelow(_MOST_SEED)
        return Settled(self.mode, self.fault or _drawn(procedure, seed), seed, self.how)


def asked_for(fault: str, seed: int | None, mark: str, *, free: bool) -> Asked:
    """What the options of a command ask for.

    Raises:
        SettingsError: ``mark`` is no way to mark.
    """
    how = among(Strictness, mark, "--mark", "is no way to mark")
    return Asked(Mode.FREE if free else Mode.LED, fault, seed, how)


def among(kind: type[_E], name: str, option: str, no: str) -> _E:
    """The one of ``kind`` called ``name``; ``no`` tells of any other.

    Raises:
        SettingsError: there is none.
    """
    known = [each.value for each in kind]
    if name not in known:
        raise SettingsError(f"{name!r} {no}", place=option, remedy="use " + " or ".join(known))
    return kind(name)


@dataclass(frozen=True, slots=True)
class Settled(Asked):
    """A rehearsal as its journal keeps it; ``fault`` is empty for a vehicle that has none."""

    seed: int = 0

    def to_json(self) -> dict[str, object]:
        """One JSON object."""
        return {"mode": self.mode, "fault": self.fault, "seed": self.seed, "how": self.how}

    @classmethod
    def from_json(cls, kept: Mapping[str, object]) -> "Settled":
        """From what a journal keeps.

        Raises:
            SessionError: that cannot be used.
        """
        try:
            mode, how = Mode(str(kept["mode"])), Strictness(str(kept["how"]))
            return cls(mode, str(kept["fault"]), int(str(kept["seed"])), how)
        except (KeyError, ValueError) as error:
            raise SessionError(
                f"what it keeps of the rehearsal cannot be used ({error})",
                place="journal",
                remedy="begin another rehearsal",
            ) from None


def _drawn(procedure: Procedure, seed: int) -> str:
    """A fault, each as often as it is likely."""
    names = list(procedure.faults)
    weights = np.array([procedure.faults[name].likely for name in names])
    return names[int(np.random.default_rng(seed).choice(len(names), p=weights / weights.sum()))]


# --- sealed ---


def sealed(procedure: str, settled: Settled) -> str:
    """The text of a sealed file: the fault cannot be read in it at a glance."""
    kept = json.dumps({"procedure": procedure, **settled.to_json()}).encode()
    return _SEAL + base64.b85encode(zlib.compress(kept)).decode() + "\n"


def opened(path: Path) -> tuple[str, Settled]:
    """The procedure and the rehearsal of a sealed file.

    Raises:
        ResourceError: it cannot be read, or is none.
    """
    text = resources.read_text(path).strip()
    try:
        inside = text.removeprefix(_SEAL) if text.startswith(_SEAL) else ""
        kept = json.loads(zlib.decompress(base64.b85decode(inside)))
        return str(kept["procedure"]), Settled.from_json(kept)
    except (ValueError, KeyError, zlib.error, SessionError):
        raise ResourceError(
            "this is no sealed rehearsal",
            place=str(path),
            remedy="ask for another: voiceassist rehearse PROCEDURE --seal FILE",
        ) from None


def write_sealed(path: Path, procedure: str, settled: Settled) -> None:
    """Write a sealed file.

    Raises:
        ResourceError: it cannot be written.
    """
    try:
        path.write_text(sealed(procedure, settled), encoding="utf-8")
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise ResourceError(
            why, place=str(path), remedy="name a file that can be written"
        ) from None
