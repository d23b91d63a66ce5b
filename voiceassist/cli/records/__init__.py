"""``voiceassist records``: the kept sessions, found, shown, checked, exported and deleted."""

import typer

from voiceassist.cli.records import (
    adding,
    classroom,
    exporting,
    hearing_again,
    listing,
    places,
    pruning,
    rebuilding,
    report,
    several,
    showing,
    totals,
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
records.command(short_help="What a session came to, and every doubt.")(showing.show)
records.command()(exporting.export)
records.command(short_help="Add words or pictures to a session.")(adding.add)
records.command(short_help="Make a page to hand out.")(report.report)
records.command(short_help="One page for all sessions of a repair order.")(several.order)
records.command(short_help="Compare the sessions of a trainee.")(several.trainee)
records.command("class", short_help="The rehearsals of a class.")(classroom.class_)
records.command(short_help="The readings of one test point across jobs.")(trending.trend)
records.command(short_help="Jobs a week, outcomes, minutes, steps skipped.")(totals.totals)
records.command(short_help="Whether all is as it was written.")(verifying.verify)
records.command("hear-again", short_help="Hear kept sound again by the listener of today.")(
    hearing_again.hear_again
)
records.command()(pruning.prune)
records.command(short_help="Delete a session with all that is in it.")(pruning.delete)
records.command("forget-place", short_help="Drop a folder from a shared archive.")(
    places.forget_place
)
records.command(short_help="Make the archive anew from the journals.")(rebuilding.rebuild)
