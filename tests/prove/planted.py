"""The mistakes of ``mistakes.yaml`` put into the shipped procedures, and what the check says."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from voiceassist import resources
from voiceassist.app import build
from voiceassist.app.desk.check import Checker
from voiceassist.app.desk.prove import Prover
from voiceassist.app.settings.settings import Settings
from voiceassist.procedure.faults import Severity

#: Draws of each fault while mistakes are looked for.
DRAWS = 8


@dataclass(frozen=True)
class Mistake:
    """One mistake: what it is, what it is about, its file, and the values set and dropped."""

    what: str
    about: str
    file: str
    sets: dict[str, Any]
    drops: tuple[str, ...]


def mistakes(name: str = "mistakes.yaml") -> Iterator[Mistake]:
    """Those of a file beside this one."""
    text = (Path(__file__).parent / name).read_text(encoding="utf-8")
    for each in yaml.load(text, yaml.BaseLoader):
        sets, drops = each.get("set", {}), tuple(each.get("drop", ()))
        yield Mistake(each["what"], each["about"], each["file"], sets, drops)


def planted(mistake: Mistake) -> str:
    """The text of the procedure with the mistake in it."""
    path = resources.folder("procedures") / f"{mistake.file}.yaml"
    tree = yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)
    for place, value in mistake.sets.items():
        block, key = _at(tree, place)
        block[key] = value
    for place in mistake.drops:
        block, key = _at(tree, place)
        del block[key]  # a mistake that cannot be made any more is one of this list
    return yaml.safe_dump(tree, sort_keys=False, allow_unicode=True, width=10_000)


def _at(tree: Any, place: str) -> tuple[dict[str, Any], str]:  # noqa: ANN401 - any YAML
    *way, key = place.split(".")
    for name in way:
        tree = tree[name]
    return tree, key


def told(mistake: Mistake, folder: Path, draws: int = DRAWS) -> list[str]:
    """The errors that the check tells of it."""
    file = folder / f"{mistake.file}.yaml"
    file.write_text(planted(mistake), encoding="utf-8")
    with Prover(draws, workers=1) as prover:
        report = Checker(build.Components(Settings()), prover).check(file)
    return [str(fault) for fault in report.faults if fault.level is Severity.ERROR]
