"""``voiceassist records class``: one page for the rehearsals of a class."""

from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records import asking
from voiceassist.cli.records.common import Archive, Out, Paper, hand_out, told


def class_(
    name: Annotated[
        str, typer.Argument(metavar="[NAME]", help="What the class is called, for the page's head.")
    ] = "",
    technician: asking.Technician = "",
    procedure: asking.Procedure = "",
    since: asking.Since = "",
    until: asking.Until = "",
    form: Annotated[
        str,
        typer.Option("--as", help="html, pdf or csv. Default: by the ending of --out, else html."),
    ] = "",
    out: Out = "",
    paper: Paper = "a4",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """An instructor's page over the rehearsals of a class, with those that fit the options.

    Who rehearsed which fault and found it, where time was lost beyond the shortest proved way,
    cautions missed, parts condemned wrongly, and every rehearsal. As CSV, one rehearsal a row.
    Exit 1 when a journal was altered.
    """
    from voiceassist.app.pages.pages import form_of
    from voiceassist.app.records.asked import wanted
    from voiceassist.app.records.classroom import CSV, FORMS, class_page, of_class
    from voiceassist.app.records.opened import opened
    from voiceassist.cli.records.common import page_request

    wanted_form = form_of(form, out, FORMS, "html")
    as_page = "html" if wanted_form == CSV else wanted_form
    request = page_request("instructor", as_page, out, paper, None, json=json)
    asked = {"technician": technician, "procedure": procedure, "since": since, "until": until}
    with opened(records, archive) as there:
        found = of_class(there, wanted(asked | {"outcome": "rehearsed"}))
    what = "1 rehearsal is" if len(found) == 1 else f"{len(found)} rehearsals are"
    content = class_page(found, name, wanted_form, request)
    hand_out(content, out, {"rehearsals": len(found)}, what, json=json)
    bad = [one for one in found if one.fault_text]
    for one in bad:
        told(f"{one.folder.id}: {one.fault_text}; only what is before that is told")
    raise typer.Exit(1 if bad else 0)
