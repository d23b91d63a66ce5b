"""``voiceassist records delete`` and ``prune``."""

from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, Session, as_json, told
from voiceassist.errors import RecordError


def delete(
    session: Session,
    yes: Annotated[
        bool, typer.Option("--yes", help="Yes, delete it; it cannot be brought back.")
    ] = False,
    reason: Annotated[str, typer.Option(help="Why, for the stub that stays.")] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Delete a session: journal, sound, all files, and what the archive holds of it.

    A dated stub stays, which says that there was one.
    """
    from voiceassist.app.records.find_session import resolved
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.remove import delete as remove

    with opened(records, archive) as there:
        if not yes:
            raise RecordError(
                "nothing was deleted",
                place=resolved(there, session).id,
                remedy="add --yes; it cannot be brought back",
            )
        gone = remove(there, session, reason)
    as_json(gone) if json else typer.echo(
        f"{gone['session']} is deleted; {len(gone['files'])} files are gone, a stub stays."
    )


def prune(
    older_than: Annotated[str, typer.Option(help="Age of the last line: 90d, 12w, 2y.")],
    sound_only: Annotated[
        bool, typer.Option("--sound-only", help="Only the sound goes; journals stay.")
    ] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only say what would go.")] = False,
    yes: Annotated[
        bool, typer.Option("--yes", help="Yes, delete it; it cannot be brought back.")
    ] = False,
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """Delete old sessions, or their sound, with --yes. Exit 1 when one could not be deleted."""
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.remove import Pruning, age, would_go
    from voiceassist.app.records.remove import prune as remove

    asked = Pruning(age(older_than), sound_only, dry_run)
    count, failed = 0, 0
    with opened(records, archive) as there:
        doomed = "" if dry_run else would_go(there, asked)
        if doomed and not yes:
            raise RecordError(
                f"nothing was removed; this would go: {doomed}",
                place="prune",
                remedy="add --yes; it cannot be brought back",
            )
        if doomed:
            told(f"Removing {doomed}.")
        for about in remove(there, asked):
            count, failed = count + 1, failed + bool(about["error"])
            as_json(about) if json else typer.echo(_line(about, asked.dry_run))
    if not count and not json:
        typer.echo("Nothing is that old.")
    raise typer.Exit(1 if failed else 0)


def _line(about: dict[str, Any], dry_run: bool) -> str:
    done = about["error"] or ("would go" if dry_run else "gone")
    return f"{about['session']}: {about['bytes'] / 1_000_000:.1f} MB, {done}"
