"""A session's page as one HTML file: style and pictures in it, no script, nothing from outside.

Every text goes in escaped (Jinja2 autoescape), on one line and without controls, so that a
job fact or note can never become part of the page's own structure.
"""

from base64 import b64encode
from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined

from voiceassist.page import front
from voiceassist.page.account import Account, Reader
from voiceassist.page.times import clock, day_and_minute, length
from voiceassist.record.webvtt import one_line


def html(told: Account, reader: Reader = Reader.SHOP, chart: str = "") -> str:
    """The page: for a customer the first page alone, for others the details or the lesson too.

    Args:
        told: what it tells.
        reader: for whom.
        chart: an SVG of the way that was taken, put at the end as a picture; empty for none.
    """
    return (
        _environment()
        .get_template("page.html")
        .render(
            told=told,
            reader=reader.value,
            title=front.TITLES[reader],
            tables=front.tables(told),
            key=front.key_to_bars(reader),
            heading=front.verdict_heading(reader),
            proof=front.proof_word(told),
            skipped=front.left_out(told),
            cautions=list(front.caution_rows(told)),
            small=list(front.small_print(told, reader)),
            verdict=lambda row: front.verdict_word(row, reader),
            chart=b64encode(chart.encode("utf-8")).decode("ascii"),
        )
    )


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
    return made


def _template(name: str) -> str:
    return (files("voiceassist.page") / "templates" / name).read_text(encoding="utf-8")
