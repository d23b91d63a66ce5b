"""The tree in ``errors.py`` shows the whole family."""

import ast
import re
from pathlib import Path

from voiceassist import errors

PACKAGE = Path(__file__).parents[1] / "voiceassist"


def family() -> set[tuple[str, str]]:
    """Each error class with the one it is a kind of."""
    found: dict[str, str] = {}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                bases = [base.id for base in node.bases if isinstance(base, ast.Name)]
                found.update((node.name, base) for base in bases)
    return {(name, base) for name, base in found.items() if hasattr(errors, base)}


def test_every_error_stands_below_the_one_it_is_a_kind_of() -> None:
    shown, above = set(), ["VoiceAssistError"]
    for bars, name in re.findall(r"^([│├└─ ]+)(\w+Error)\b", errors.__doc__ or "", re.MULTILINE):
        depth = len(bars) // 4
        above[depth:] = [name]
        shown.add((name, above[depth - 1]))
    assert shown == family()
