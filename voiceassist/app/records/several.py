"""Pages for several sessions: all of a repair order, or those of a trainee to be compared."""

from collections.abc import Sequence

from voiceassist.app.pages.pages import HTML, PageRequest, checked, member
from voiceassist.app.pages.session_folder import KeptSession
from voiceassist.app.records.checked import load_from, looked_through
from voiceassist.app.records.opened import Records, Wanted
from voiceassist.errors import RecordError
from voiceassist.page.reader import Reader
from voiceassist.page.several import Member
from voiceassist.record.folder import SessionFolder
from voiceassist.record.job import parts_of


def of_order(records: Records, order: str) -> list[KeptSession]:
    """The sessions of a repair order that lie here, the oldest first.

    Raises:
        RecordError: there is none, or a journal cannot be read.
    """
    return _some(records, Wanted(order=order), f"no session has the repair order {order!r}")


def of_trainee(records: Records, name: str, wanted: Wanted) -> list[KeptSession]:
    """The sessions of a technician that fit and lie here, the oldest first; as ``of_order``."""
    return _some(records, wanted, f"no session of {name!r} fits")


def of_job(found: KeptSession, records: str, archive: str) -> list[KeptSession]:
    """The session ``found`` with the other parts of its job that lie here, in order.

    Raises:
        RecordError: a journal cannot be read.
    """
    return [
        found if part == found.folder else load_from(part.id, records, archive)
        for part in parts_of(found.folder)
        if part == found.folder or (part.begun and not part.deleted)
    ]


def kept(records: Records, wanted: Wanted) -> list[KeptSession]:
    """The sessions that fit and lie here, the oldest first.

    Raises:
        RecordError: a journal cannot be read.
    """
    records.sync()
    rows = [row for row in records.archive.find(wanted) if records.here(row) and not row["missing"]]
    folders = [SessionFolder(records.folder / row["folder"]) for row in rows[::-1]]
    return [looked_through(folder, records.archive) for folder in folders]


def _some(records: Records, wanted: Wanted, none: str) -> list[KeptSession]:
    found = kept(records, wanted)
    if not found:
        raise RecordError(none, place=str(records.folder), remedy="see: voiceassist records list")
    return found


def order_page(found: Sequence[KeptSession], request: PageRequest) -> bytes:
    """One page, or file, for the sessions of a repair order.

    Raises:
        RecordError: no journal has a good line.
    """
    members = _members(found, request)
    if request.form == HTML:
        from voiceassist.page.html import order_html

        return order_html(members, Reader(request.reader)).encode("utf-8")
    from voiceassist.page.pdf import order_pdf

    return order_pdf(members, Reader(request.reader), request.paper)


def trainee_page(found: Sequence[KeptSession], name: str, request: PageRequest) -> bytes:
    """An instructor's page that compares sessions; as ``order_page``."""
    members = _members(found, request)
    if request.form == HTML:
        from voiceassist.page.html import trainee_html

        return trainee_html(members, name).encode("utf-8")
    from voiceassist.page.pdf import trainee_pdf

    return trainee_pdf(members, name, request.paper)


def _members(found: Sequence[KeptSession], request: PageRequest) -> list[Member]:
    good = (each for each in found if each.entries)
    members = [member(each.folder, each.read, request.shop, checked(each)) for each in good]
    if not members:
        raise RecordError(
            "no journal of these sessions has a good line",
            place=str(found[0].folder.path),
            remedy="see: voiceassist records verify",
        )
    return members
