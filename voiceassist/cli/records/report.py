"""``voiceassist records report``."""

from typing import Annotated

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import (
    Archive,
    Form,
    Out,
    Paper,
    Reader,
    Session,
    hand_out,
    page_request,
    told,
)


def report(
    session: Session = "last",
    reader: Reader = "shop",
    form: Form = "",
    out: Out = "",
    paper: Paper = "a4",
    alone: Annotated[
        bool, typer.Option("--alone", help="Of a job in two parts, this session only.")
    ] = False,
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Make a page to hand out; the two parts of a job stand on one.

    Exit 1 when something is not as it was written: the page says so.
    """
    from voiceassist.app.pages import pages
    from voiceassist.app.pages.enclosing import shop_of
    from voiceassist.app.records.checked import load_from
    from voiceassist.app.records.several import of_job, order_page
    from voiceassist.app.settings.chosen import settings_for

    shop = shop_of(settings_for(records, archive))
    request = page_request(reader, form, out, paper, shop, json=json)
    found = load_from(session, records, archive)
    job = [found] if alone else of_job(found, records, archive)
    content = (
        order_page(job, request)
        if len(job) > 1
        else pages.page(found.folder, found.entries, request, pages.checked(found))
    )
    about = {"session": found.folder.id, "for": request.reader, "form": request.form}
    what = found.folder.id if len(job) == 1 else f"The job of {found.folder.id}"
    hand_out(content, out, about, f"{what} is", json=json)
    wrong = [part for part in job if part.all_wrong]
    for part in wrong:
        told(f"{part.folder.id}: NOT AS WRITTEN: {part.all_wrong}; the page says so")
    raise typer.Exit(1 if wrong else 0)
