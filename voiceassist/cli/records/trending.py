"""``voiceassist records trend``."""

from pathlib import Path
from typing import Annotated, Any

import typer

from voiceassist.cli.options import Json, Records
from voiceassist.cli.records.common import Archive, as_json, told


def trend(
    point: Annotated[
        str, typer.Argument(metavar="POINT", help="A step, or a test point by its spoken name.")
    ],
    procedure: Annotated[str, typer.Option(help="Only in this procedure.")] = "",
    vehicle: Annotated[str, typer.Option(help="Only on vehicles with these words.")] = "",
    plot: Annotated[str, typer.Option(help="Draw it into this new SVG file.")] = "",
    records: Records = "",
    archive: Archive = "",
    json: Json = False,
) -> None:
    """The readings of one test point across jobs: median, spread and outliers.

    Only readings that count are taken. Steps of different procedures are shown separately.
    Exit 1 when there is none.
    """
    from voiceassist.app.records.opened import opened
    from voiceassist.app.records.trend import about, draw, sparkline, trends

    with opened(records, archive) as there:
        found = trends(there, point, procedure, vehicle)
    if plot and found:
        draw(found, Path(plot))
    for one in found:
        as_json(about(one)) if json else typer.echo(_lines(about(one), sparkline(one)))
    if not found:
        told(f"No reading was taken at {point!r}; name a test point, or a step as in records show.")
    raise typer.Exit(0 if found else 1)


def _lines(one: dict[str, Any], bars: str) -> str:
    unit = one["unit"]
    width = f"{one['interquartile_range']} {unit} wide"
    readings = "1 reading" if one["count"] == 1 else f"{one['count']} readings"
    jobs = "1 job" if one["jobs"] == 1 else f"{one['jobs']} jobs"
    told_lines = [
        f"{one['step']} ({one['procedure']}): {readings} of {jobs}",
        f"  median {one['median']} {unit}",
        f"  middle half {one['lower_quartile']} to {one['upper_quartile']} {unit}, {width}",
        f"  least {one['min']} {unit}, most {one['max']} {unit}",
        "  " + ", ".join(f"{verdict}: {count}" for verdict, count in one["verdicts"].items()),
        f"  oldest {bars} newest",
    ]
    for apart in one["outliers"]:
        verdict = f", {apart['verdict']}" if apart["verdict"] else ""
        day = apart["at"][:10]
        told_lines.append(f"  apart: {apart['value']} {unit} on {day}{verdict}, {apart['session']}")
    return "\n".join(line for line in told_lines if line.strip()) + "\n"
