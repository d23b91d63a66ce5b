"""``voiceassist records order`` and ``trainee``: one page for several sessions."""

from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records import asking
from voiceassist.cli.records.common import (
    Archive,
    Form,
    Out,
    Paper,
    Reader,
    hand_out,
    page_request,
    told,
)


def order(
    number: Annotated[str, typer.Argument(metavar="ORDER", help="A repair order.")],
    reader: Reader = "shop",
    form: Form = "",
    out: Out = "",
    paper: Paper = "a4",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """One page for all sessions of a repair order. Exit 1 when a journal was altered."""
    from voiceassist.app.pages.enclosing import shop_of
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.several import of_order, order_page
    from voiceassist.app.settings.chosen import settings_for

    shop = shop_of(settings_for(records, archive))
    request = page_request(reader, form, out, paper, shop, json=json)
    with opened(records, archive) as there:
        found = of_order(there, number)
    _hand_out(order_page(found, request), out, len(found), json=json)
    raise typer.Exit(_faults([(kept.folder.id, kept.fault_text) for kept in found]))


def trainee(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The technician's name.")],
    procedure: asking.Procedure = "",
    since: asking.Since = "",
    until: asking.Until = "",
    form: Form = "",
    out: Out = "",
    paper: Paper = "a4",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """An instructor's page that compares the sessions of a trainee, the oldest first.

    Exit 1 when a journal was altered.
    """
    from voiceassist.app.records.asked import wanted
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.several import of_trainee, trainee_page

    request = page_request("instructor", form, out, paper, None, json=json)
    asked = {"technician": name, "procedure": procedure, "since": since, "until": until}
    with opened(records, archive) as there:
        found = of_trainee(there, name, wanted(asked))
    _hand_out(trainee_page(found, name, request), out, len(found), json=json)
    raise typer.Exit(_faults([(kept.folder.id, kept.fault_text) for kept in found]))


def _hand_out(content: bytes, out: str, sessions: int, *, json: bool) -> None:
    what = "1 session is" if sessions == 1 else f"{sessions} sessions are"
    hand_out(content, out, {"sessions": sessions}, what, json=json)


def _faults(found: list[tuple[str, str]]) -> int:
    """Tell which journals were altered; the exit code."""
    bad = [(name, fault) for name, fault in found if fault]
    for name, fault in bad:
        told(f"{name}: {fault}; the page tells only what is before that")
    return 1 if bad else 0
