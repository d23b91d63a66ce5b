"""``voiceassist records``: the kept sessions, found, shown, checked, exported and deleted."""

import typer

from voiceassist.cli.records import (
    exporting,
    listing,
    pruning,
    rebuilding,
    report,
    showing,
    trending,
    verifying,
)

records = typer.Typer(
    help="Find, show, verify, export and delete kept sessions.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
records.command("list")(listing.list_)
records.command()(listing.find)
records.command()(showing.show)
records.command()(exporting.export)
records.command()(report.report)
records.command()(trending.trend)
records.command()(verifying.verify)
records.command()(pruning.prune)
records.command()(pruning.delete)
records.command()(rebuilding.rebuild)
