"""``voiceassist records report``."""

import sys
from pathlib import Path

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import (
    Archive,
    Form,
    Out,
    Paper,
    Reader,
    Session,
    as_json,
    form_of_page,
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
    from voiceassist.app.new_file import write_new
    from voiceassist.app.pages import pages
    from voiceassist.app.pages.enclosing import shop_of
    from voiceassist.app.records.checked import load_from
    from voiceassist.app.settings.chosen import settings_for

    wanted = form_of_page(form, out, json=json)
    for_whom = pages.chosen("--for", reader, pages.READERS)
    size = pages.chosen("--paper", paper, pages.PAPERS)
    request = pages.PageRequest(for_whom, wanted, size, shop_of(settings_for(records, archive)))
    found = load_from(session, records, archive)
    content = pages.page(found.folder, found.entries, request, pages.checked(found))
    if out:
        write_new(Path(out), content)
        about = {"session": found.folder.id, "for": for_whom, "form": wanted}
        about["file"] = str(Path(out).resolve())
        as_json(about) if json else typer.echo(f"{found.folder.id} is in {out}")
    else:
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
    if found.all_wrong:
        told(f"{found.folder.id}: NOT AS WRITTEN: {found.all_wrong}; the page says so")
    raise typer.Exit(1 if found.all_wrong else 0)
