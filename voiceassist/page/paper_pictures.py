"""The shop's letterhead and the technician's pictures on paper."""

import io
from typing import TYPE_CHECKING

from reportlab.lib.utils import ImageReader

from voiceassist.page import front
from voiceassist.page.enclosed import Enclosed, EnclosedPicture, Image, Letterhead
from voiceassist.page.paper import BOLD, LEFT, SOFT, Sheet
from voiceassist.page.times import day_and_minute

if TYPE_CHECKING:  # most pages have no drawing, and it takes long to import
    from reportlab.graphics.shapes import Drawing

#: Of a logo, and of a picture, at most, in points.
_LOGO = (150.0, 46.0)
_PICTURE_HIGH = 190.0
_GAP = 14.0


def letterhead(sheet: Sheet, head: Letterhead) -> None:
    """The shop's name and address, and its logo on the right."""
    top, wide = sheet.y, sheet.across - _LOGO[0] - _GAP
    y = sheet.write(head.name, LEFT, top + 2, wide, 12, BOLD) if head.name else top
    for line in head.address:
        y = sheet.write(line, LEFT, y, wide, 8.6, colour=SOFT)
    if head.logo is not None:
        across, high = _fitted(head.logo, *_LOGO)
        draw(sheet, head.logo, sheet.right - across, top - high, across, high)
        y = min(y, top - high)
    sheet.y = y - 8


def pictures(sheet: Sheet, enclosed: Enclosed) -> None:
    """Two side by side, each with its caption."""
    lost = front.lost_pictures(enclosed)
    if not enclosed.pictures and not lost:
        return
    wide = (sheet.across - _GAP) / 2
    pairs = [enclosed.pictures[i : i + 2] for i in range(0, len(enclosed.pictures), 2)]
    sheet.need(24 + (_height(sheet, pairs[0], wide) if pairs else 12))
    sheet.y = sheet.write("Pictures", LEFT, sheet.y - 8, sheet.across, 10.6, BOLD) - 4
    for pair in pairs:
        sheet.need(_height(sheet, pair, wide))
        sheet.y = min(_one(sheet, each, i, wide) for i, each in enumerate(pair)) - 6
    if lost:
        sheet.y = sheet.write(lost, LEFT, sheet.y, sheet.across, 8.4, colour=SOFT)


def _one(sheet: Sheet, picture: EnclosedPicture, column: int, wide: float) -> float:
    across, high = _fitted(picture.image, wide, _PICTURE_HIGH)
    x = LEFT + column * (wide + _GAP)
    draw(sheet, picture.image, x, sheet.y - high, across, high)
    return sheet.write(_caption(picture), x, sheet.y - high - 2, wide, 8, colour=SOFT)


def _height(sheet: Sheet, pair: tuple[EnclosedPicture, ...], wide: float) -> float:
    highest = max(_fitted(each.image, wide, _PICTURE_HIGH)[1] for each in pair)
    return highest + max(sheet.height_of(_caption(each), wide, 8) for each in pair) + 8


def _caption(picture: EnclosedPicture) -> str:
    day = day_and_minute(picture.at)
    return f"{picture.caption}, {day}" if picture.caption else day


def _fitted(image: Image, wide: float, high: float) -> tuple[float, float]:
    """Width and height in points that keep its shape and stay within bounds."""
    scale = min(wide / image.width, high / image.height)
    return image.width * scale, image.height * scale


def draw(sheet: Sheet, image: Image, x: float, y: float, across: float, high: float) -> None:
    """Draw ``image`` with its lower left corner at ``x`` and ``y``."""
    if image.kind == "svg":
        drawing = drawing_of(image.data)
        assert drawing is not None  # it was tried when the logo was checked
        drawing.scale(across / drawing.width, high / drawing.height)
        drawing.drawOn(sheet.canvas, x, y)
        return
    content = ImageReader(io.BytesIO(image.data))
    sheet.canvas.drawImage(content, x, y, across, high, mask="auto")


def drawing_of(svg: bytes) -> "Drawing | None":
    """An SVG as a drawing of ReportLab's; None when it cannot be understood."""
    from svglib.svglib import svg2rlg

    found: Drawing | None = svg2rlg(io.BytesIO(svg))
    return found
