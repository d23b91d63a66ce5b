"""Fonts for scripts that the usual ones lack: Hebrew, Arabic, Hangul, Chinese and Japanese signs.

They come from wheels (Noto Sans, SIL Open Font License 1.1), and from the system's own folder
where those lack a sign. Only the signs that a page needs are taken out of them, which makes a
few kilobytes of some megabytes. A letter that joins its neighbours and has no form for that
(see ``joined.py``) is not set: letters that stand apart would be wrong.
"""

import io
from collections.abc import Iterator
from functools import cache, lru_cache
from hashlib import sha256
from importlib.resources import files
from pathlib import Path
from typing import Any

from voiceassist.page.joined import stands_apart

#: Package, and path of the font in it; the first that has a sign is taken.
_WHEELS = (
    ("justmytype_intl_rtl", "fonts/ofl/notosanshebrew/NotoSansHebrew[wdth,wght].ttf"),
    ("justmytype_intl_rtl", "fonts/ofl/notosansarabic/NotoSansArabic[wdth,wght].ttf"),
    ("justmytype_intl_cjk", "fonts/ofl/notosanskr/NotoSansKR[wght].ttf"),
    ("justmytype_intl_cjk", "fonts/ofl/notosansjp/NotoSansJP[wght].ttf"),
    ("justmytype_intl_cjk", "fonts/ofl/notosanssc/NotoSansSC[wght].ttf"),
)
#: Where Debian puts fonts with outlines that a PDF can hold.
_SYSTEM = (
    "/usr/share/fonts/truetype/nanum/NanumGothic.ttf",
    "/usr/share/fonts/truetype/unfonts-core/UnDotum.ttf",
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
)
_REGULAR = {"wght": 400, "wdth": 100}
#: Family, full and PostScript name; source: OpenType specification, "name" table.
_NAMES = (1, 4, 6)


@lru_cache(maxsize=32)
def fonts_for(signs: frozenset[str]) -> tuple[bytes, ...]:
    """The content of small TrueType fonts that together have as many of ``signs`` as can be."""
    wanted = {ord(c) for c in signs if not stands_apart(c)}
    found = []
    for path in _paths():
        if not wanted:
            break
        held = wanted & _characters(path)
        if held:
            found.append(_cut_out(path, frozenset(held)))
            wanted -= held
    return tuple(found)


def name_of(font: bytes) -> str:
    """A name that no other font has."""
    return f"Signs-{sha256(font).hexdigest()[:16]}"


def _paths() -> Iterator[Path]:
    for package, name in _WHEELS:
        try:
            path = Path(str(files(package) / name))
        except ModuleNotFoundError:
            continue
        if path.is_file():
            yield path
    yield from (Path(name) for name in _SYSTEM if Path(name).is_file())


@cache
def _characters(path: Path) -> frozenset[int]:
    from fontTools.ttLib import TTFont

    with TTFont(path, lazy=True) as font:
        return frozenset(font.getBestCmap())


def _cut_out(path: Path, characters: frozenset[int]) -> bytes:
    """A font of these characters alone, in its regular weight."""
    from fontTools import subset
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    options = subset.Options(layout_features=[], notdef_outline=True, hinting=False)
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "BASE", "STAT", "VORG", "vhea", "vmtx"]
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=characters)
    content = io.BytesIO()
    own = f"Signs-{sha256(repr((path.name, sorted(characters))).encode()).hexdigest()[:16]}"
    with TTFont(path, lazy=True, recalcTimestamp=False) as whole:
        font: Any = whole
        cutter.subset(font)
        if "fvar" in font:
            axes = {axis.axisTag for axis in font["fvar"].axes}
            regular = {tag: at for tag, at in _REGULAR.items() if tag in axes}
            instancer.instantiateVariableFont(font, regular, inplace=True)
        for number in _NAMES:  # two cut out of one font are two fonts
            font["name"].setName(own, number, 3, 1, 0x409)
            font["name"].setName(own, number, 1, 0, 0)
        font.save(content)
    return content.getvalue()
