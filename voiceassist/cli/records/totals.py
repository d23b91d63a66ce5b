"""``voiceassist records totals``."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records import asking
from voiceassist.cli.records.common import Archive, as_json, told


def totals(
    technician: asking.Technician = "",
    procedure: asking.Procedure = "",
    vehicle: asking.Vehicle = "",
    since: asking.Since = "",
    until: asking.Until = "",
    plot: Annotated[str, typer.Option(help="Draw it into this new SVG file.")] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """What the shop's jobs come to: a week, by outcome, minutes and questions a job, steps skipped.

    Exit 1 when there is no job.
    """
    from voiceassist.app.records.asked import wanted
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.totals import WORDS, about_totals, draw_totals

    asked = {"technician": technician, "procedure": procedure, "vehicle": vehicle}
    fitting = wanted(asked | {"since": since, "until": until})
    with opened(records, archive) as there:
        there.sync()
        found = there.archive.totals(fitting)
    if plot and found.jobs:
        draw_totals(found, Path(plot))
        told(f"The drawing is in {plot}")
    about = about_totals(found)
    as_json(about) if json else typer.echo("\n".join(_lines(about, WORDS)))
    raise typer.Exit(0 if found.jobs else 1)


def _lines(about: dict[str, Any], words: Mapping[str, str]) -> Iterator[str]:
    jobs = about["jobs"]
    yield "1 job" if jobs == 1 else f"{jobs} jobs"
    if not jobs:
        return
    yield from ("", "Outcomes")
    yield from (f"  {count:>6}  {words.get(n, n)}" for n, count in about["outcomes"].items())
    yield from ("", "Jobs a week, from Monday")
    yield from (f"  {week['jobs']:>6}  {week['monday']}" for week in about["weeks"])
    yield ""
    for name in ("minutes", "questions"):
        if spread := about[name]:
            half = f"middle half {spread['lower']} to {spread['upper']}"
            yield f"{name} a job: median {spread['median']}, {half}, most {spread['most']}"
    yield from ("", "Steps skipped most")
    skipped = (f"  {o['jobs']:>6}  {o['step']} ({o['procedure']})" for o in about["skipped"])
    yield from list(skipped) or ["  none"]
