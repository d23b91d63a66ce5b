"""``voiceassist records report``."""

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
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Make a page to hand out. Exit 1 when something is not as it was written: the page says so."""
    from voiceassist.app.pages import pages
    from voiceassist.app.pages.enclosing import shop_of
    from voiceassist.app.records.checked import load_from
    from voiceassist.app.settings.chosen import settings_for

    shop = shop_of(settings_for(records, archive))
    request = page_request(reader, form, out, paper, shop, json=json)
    found = load_from(session, records, archive)
    content = pages.page(found.folder, found.entries, request, pages.checked(found))
    about = {"session": found.folder.id, "for": request.reader, "form": request.form}
    hand_out(content, out, about, f"{found.folder.id} is", json=json)
    if found.all_wrong:
        told(f"{found.folder.id}: NOT AS WRITTEN: {found.all_wrong}; the page says so")
    raise typer.Exit(1 if found.all_wrong else 0)
