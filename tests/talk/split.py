"""Parts labelled phrases in two by their words: what may be learned from, and what is kept apart.

Run: python tests/talk/split.py FILE.tsv ...

A phrase goes the same way whoever wrote it and whenever it comes, so that none stands in both.
It prints counts alone: who tunes the grammar must not read what is kept apart.
"""

import hashlib
import sys
from pathlib import Path

HERE = Path(__file__).parent
OPEN, KEPT = HERE / "open", HERE / "kept"
#: Parts by name. Of the ``fresh`` ones, which came last, counts alone are looked at too.
PARTS = {
    name: HERE / name
    for name in (
        "open",
        "kept",
        "fresh",
        "fresh2",
        "fresh3",
        "fresh4",
        "fresh5",
        "fresh6",
        "fresh7",
        "fresh8",
        "fresh9",
        "fresh10",
        "fresh11",
    )
}


def is_kept(phrase: str) -> bool:
    """True for one phrase in three."""
    return int(hashlib.sha256(phrase.encode()).hexdigest(), 16) % 3 == 0


def split(source: Path) -> tuple[int, int]:
    """Write both parts of ``source`` under its own name; how many lines each got."""
    lines = [line for line in source.read_text(encoding="utf-8").splitlines() if line.strip()]
    parts: tuple[list[str], list[str]] = ([], [])
    for line in lines:
        parts[is_kept(line.split("\t")[2].strip())].append(line.strip())
    for folder, part in zip((OPEN, KEPT), parts, strict=True):
        folder.mkdir(exist_ok=True)
        text = "".join(f"{line}\n" for line in part)
        (folder / source.name).write_text(text, encoding="utf-8")
    return len(parts[0]), len(parts[1])


if __name__ == "__main__":
    for name in sys.argv[1:]:
        print(name, *split(Path(name)))
