"""Pictures and logos that users bring: checked before anything is made of them."""

import io
import re
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

from voiceassist.errors import RecordError, SettingsError
from voiceassist.page.enclosed import Image
from voiceassist.record import disk

if TYPE_CHECKING:
    from PIL.Image import Image as Dots

#: Of a file, in bytes.
_MOST_LOGO, _MOST_PICTURE = 1_000_000, 20_000_000
#: Of a picture's sides together, and of a logo's longer side, in dots.
_MOST_DOTS, _LOGO_SIDE = 60_000_000, 4000
#: A kept picture has no longer side; a page needs no more.
_KEPT_SIDE = 1600
_QUALITY = 88
#: What makes an SVG more than a drawing: it acts, or fetches.
_ACTING = frozenset({"script", "foreignObject", "iframe", "audio", "video", "animate", "set"})
_FETCHING = re.compile(r"@import|url\(\s*['\"]?(?!#)", re.IGNORECASE)


def logo(path: Path) -> Image:
    """The logo at ``path``, a PNG or SVG.

    Raises:
        SettingsError: it is missing, too large, or something else.
    """
    place = f"shop_logo {path}"
    try:
        data = _read(path, _MOST_LOGO)
        found = _svg(data) if path.suffix.lower() == ".svg" else _png(data)
    except OSError as error:
        raise SettingsError(
            f"it cannot be read: {disk.reason(error)}", place=place, remedy="name another file"
        ) from None
    except ValueError as error:
        raise SettingsError(
            str(error), place=place, remedy="give a PNG or a plain SVG of at most 1 MB"
        ) from None
    return found


def picture(path: Path) -> bytes:
    """The picture at ``path`` as a JPEG of a size fit for a page.

    Only what is seen is kept: where it was taken, and by which camera, is left out.

    Raises:
        RecordError: it is missing, too large, or no PNG or JPEG.
    """
    try:
        return _kept(_read(path, _MOST_PICTURE))
    except OSError as error:
        raise RecordError(
            f"it cannot be read: {disk.reason(error)}", place=str(path), remedy="name another file"
        ) from None
    except ValueError as error:
        raise RecordError(
            str(error), place=str(path), remedy="give a PNG or JPEG of at most 20 MB"
        ) from None


def jpeg(data: bytes) -> Image | None:
    """A kept picture for a page; None when it is none."""
    try:
        found = _opened(data, "JPEG")
    except ValueError:
        return None
    return Image(data, "jpeg", *found.size)


def _read(path: Path, most: int) -> bytes:
    """The file's content; no more than is needed to see that it is too long.

    Raises:
        ValueError: it is no file, empty, or too long.
        OSError: it cannot be read.
    """
    if path.exists() and not path.is_file():
        raise ValueError("this is not a file")
    with path.open("rb") as file:
        data = file.read(most + 1)
    if not data:
        raise ValueError("the file is empty")
    if len(data) > most:
        raise ValueError(f"the file is larger than {most // 1_000_000} MB")
    return data


def _opened(data: bytes, *kinds: str) -> "Dots":
    """Raises ValueError when it is none of ``kinds``, broken, or of too many dots."""
    import PIL.Image

    try:
        found = PIL.Image.open(io.BytesIO(data), formats=kinds)
        if found.width * found.height > _MOST_DOTS:
            raise ValueError(f"it has {found.width} by {found.height} dots, which is too many")
        found.load()
    except (OSError, SyntaxError, PIL.Image.DecompressionBombError, EOFError):
        raise ValueError(f"this is no {' or '.join(kinds)} that can be read") from None
    return found


def _kept(data: bytes) -> bytes:
    import PIL.ImageOps

    found = PIL.ImageOps.exif_transpose(_opened(data, "PNG", "JPEG"))
    found.thumbnail((_KEPT_SIDE, _KEPT_SIDE))
    content = io.BytesIO()
    _on_white(found).save(content, "JPEG", quality=_QUALITY, optimize=True)
    return content.getvalue()


def _on_white(found: "Dots") -> "Dots":
    import PIL.Image

    if "A" not in found.mode and "transparency" not in found.info:
        return found.convert("RGB")
    seen = found.convert("RGBA")
    paper = PIL.Image.new("RGB", seen.size, "white")
    paper.paste(seen, mask=seen.getchannel("A"))
    return paper


def _png(data: bytes) -> Image:
    found = _opened(data, "PNG")
    if max(found.size) > _LOGO_SIDE:
        raise ValueError(f"it has more than {_LOGO_SIDE} dots on a side")
    return Image(data, "png", *found.size)


def _svg(data: bytes) -> Image:
    """A drawing that neither acts nor fetches anything; no declaration can swell up in it."""
    try:
        text = data.decode("utf-8")
        if "<!DOCTYPE" in text.upper() or "<!ENTITY" in text.upper():
            raise ValueError("this SVG declares a document type")
        root = ElementTree.fromstring(text)
    except (UnicodeDecodeError, ElementTree.ParseError, RecursionError):
        raise ValueError("this is no SVG that can be read") from None
    if _plain(root.tag) != "svg":
        raise ValueError("this is no SVG")
    for each in root.iter():
        _must_be_still(each)
    from voiceassist.page.paper_pictures import drawing_of

    drawing = drawing_of(data)
    if drawing is None or drawing.width <= 0 or drawing.height <= 0:
        raise ValueError("this SVG has no size")
    return Image(data, "svg", drawing.width, drawing.height)


def _must_be_still(each: ElementTree.Element) -> None:
    tag = _plain(str(each.tag))
    if tag in _ACTING or tag == "image":
        raise ValueError(f"this SVG holds <{tag}>, which is more than a drawing")
    for name, value in each.attrib.items():
        if _plain(name).lower().startswith("on"):
            raise ValueError(f"this SVG holds {_plain(name)!r}, which acts")
        fetches = _plain(name) == "href" and not value.strip().startswith("#")
        if fetches or _FETCHING.search(value):
            raise ValueError(f"this SVG fetches {value[:40]!r}")
    if tag == "style" and _FETCHING.search(each.text or ""):
        raise ValueError("this SVG fetches something in its style")


def _plain(name: str) -> str:
    return name.rsplit("}", 1)[-1]
