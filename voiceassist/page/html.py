"""A session's page as one HTML file: style and pictures in it, no script, nothing from outside.

Every text goes in escaped (Jinja2 autoescape), on one line and without controls, so that a
job fact or note can never become part of the page's own structure.
"""

import unicodedata
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined

from voiceassist.page import front
from voiceassist.page.classroom import Classroom
from voiceassist.page.enclosed import NOTHING, Enclosed
from voiceassist.page.reader import Reader
from voiceassist.page.session_report import SessionReport
from voiceassist.page.several import MOST, Member, left_out, measures, overview, steps_over
from voiceassist.page.times import clock, day_and_minute, length
from voiceassist.record.page_seal import sealed
from voiceassist.record.webvtt import one_line

#: The last character of Cyrillic (Unicode's block table).
_COMMON = 0x052F
#: Where the style of rare fonts goes, once it is known which signs the page has.
_FONTS = "/* fonts */"


def html(
    report: SessionReport,
    reader: Reader = Reader.SHOP,
    chart: str = "",
    enclosed: Enclosed = NOTHING,
    steps: Sequence[tuple[str, str]] = (),
) -> str:
    """The page: for a customer the first page alone, for others the details or the lesson too.

    Args:
        report: what it tells.
        reader: for whom.
        chart: an SVG of the way that was taken, put at the end as a picture; empty for none.
        enclosed: the shop, the meter, pictures.
        steps: what some steps look like, each in words and as an SVG; put below the lesson.
    """
    seen = [(told, _base64(svg.encode())) for told, svg in steps]
    return _made(
        "page.html", chart=_base64(chart.encode()), steps=seen, **_of_one(report, reader, enclosed)
    )


def order_html(members: Sequence[Member], reader: Reader = Reader.SHOP) -> str:
    """One page for several sessions, those of a repair order: an overview, then one after another.

    Args:
        members: at least one, in order.
        reader: for whom.
    """
    first = members[0]
    return _made(
        "order.html",
        **_of_one(first.report, reader, first.enclosed) | {"title": front.SEVERAL[reader]},
        overview=list(overview(members)),
        each=[_of_one(one.report, reader, one.enclosed) for one in members],
        chart="",
    )


def trainee_html(members: Sequence[Member], name: str) -> str:
    """An instructor's page that compares sessions of a trainee.

    Args:
        members: at least one, in order.
        name: of the trainee.
    """
    return _made(
        "trainee.html",
        title="Sessions of a trainee",
        name=name,
        overview=list(overview(members)),
        days=[one.report.summary.began[:10] for one in members[-MOST:]],
        measures=measures(members[-MOST:]),
        steps=steps_over(members[-MOST:]),
        left_out=left_out(members),
    )


def class_html(of: Classroom) -> str:
    """An instructor's page over the rehearsals of a class."""
    title = "Rehearsals of a class"
    return _made("class.html", title=title, name=of.name, told=of.told, tables=list(of.tables()))


def _of_one(report: SessionReport, reader: Reader, enclosed: Enclosed) -> dict[str, Any]:
    """What the templates of one session need."""
    return {
        "report": report,
        "reader": reader.value,
        "title": front.TITLES[reader],
        "tables": front.tables(report, reader, enclosed),
        "key": front.key_to_bars(reader),
        "heading": front.verdict_heading(reader),
        "proof": front.proof_word(report),
        "cause_name": front.cause_name(report),
        "added": front.added_later(report, reader),
        "skipped": front.left_out(report, reader),
        "cautions": list(front.caution_rows(report)),
        "small": list(front.small_print(report, reader, enclosed)),
        "facts": front.facts(report, reader, enclosed),
        "enclosed": enclosed,
        "lost_pictures": front.lost_pictures(enclosed),
        "said": lambda text: front.said(text, reader),
        "verdict": lambda row: front.verdict_word(row, reader),
    }


def _made(template: str, **parts: object) -> str:
    made = _environment().get_template(template).render(fonts=_FONTS, **parts)
    return sealed(made.replace(_FONTS, _faces(made), 1))


def _faces(made: str) -> str:
    """Style that brings along the signs of scripts that a reader's computer may lack."""
    signs = frozenset(c for c in set(made) if _rare(c))
    if not signs:
        return ""
    from voiceassist.page.scripts import fonts_for

    faces = (
        f"@font-face {{ font-family: Signs{number};"
        f" src: url(data:font/ttf;base64,{_base64(font)}) }}"
        for number, font in enumerate(fonts_for(signs), 1)
    )
    return "\n".join(faces)


def _rare(c: str) -> bool:
    """Of no script that every computer can show: past Latin, Greek and Cyrillic, a letter."""
    return ord(c) > _COMMON and unicodedata.category(c)[0] in "LM"


def _base64(data: bytes) -> str:
    return b64encode(data).decode("ascii")


@cache
def _environment() -> Environment:
    made = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {"clock": clock, "minute": day_and_minute, "length": length, "line": one_line}
    made.filters["base64"] = _base64
    return made


def _template(name: str) -> str:
    return (files("voiceassist.page") / "templates" / name).read_text(encoding="utf-8")
