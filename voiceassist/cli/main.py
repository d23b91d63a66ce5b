"""Joins the commands, and turns errors into one sentence and an exit code."""

import sys
from functools import cache, partial

import typer
from typer.main import get_command

from voiceassist import __version__
from voiceassist.cli import (
    bench,
    check,
    demo,
    draw,
    hear,
    new,
    rehearse,
    run,
    soundcheck,
    understand,
)
from voiceassist.cli.choosing import show_all
from voiceassist.cli.grammar import grammar
from voiceassist.cli.records import records
from voiceassist.cli.stopping import Stopped, say_stopped, stop_behind, stop_in_order, stop_no_more
from voiceassist.cli.wrong_use import wrong_use
from voiceassist.errors import VoiceAssistError

#: Exit codes: done; wrong use or bad input. A command whose work found a problem exits with 1.
DONE, WRONG_USE = 0, 2
_NO_ROOM = "standard output: it cannot be written"

app = typer.Typer(
    name="voiceassist",
    help="Offline, hands-free voice assistant for electrical diagnosis.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
# The short helps fit on a line of 80 columns; without one the first sentence would be cut off.
app.command(short_help="Hear a recorded technician do a whole job.")(demo.demo)
app.command()(run.run)
app.command(short_help="Report every fault in procedures, and prove them.")(check.check)
app.command(short_help="Practise on a simulated vehicle.")(rehearse.rehearse)
app.command(short_help="A page that follows sessions, and the archive.")(bench.bench)
app.command(short_help="Draw the steps of a procedure, or its circuit.")(draw.draw)
app.command(short_help="Write a starter file: a procedure or a meter.")(new.new)
app.command(context_settings={"ignore_unknown_options": True})(understand.understand)
app.command(short_help="Show what was heard in sound files.")(hear.hear)
app.command(short_help="Measure room, voice and loudspeaker.")(soundcheck.soundcheck)
app.add_typer(grammar, name="grammar")
app.add_typer(records, name="records")


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"voiceassist {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def _all(
    context: typer.Context,
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Show the version and stop."
    ),
) -> None:
    """Reads each test step aloud, hears the reading, judges it and keeps the record.

    Without a command it lists the procedures. Follow the vehicle maker's instructions, local rules
    and licensed practice; they come first.
    """
    if context.invoked_subcommand is None:
        show_all(sys.stdout)


#: All commands with their options, made once, for that takes a moment.
commands = cache(partial(get_command, app))


def main(arguments: list[str] | None = None) -> None:
    """Run the command line; ends the process with its exit code.

    That is 0 when all is well, 1 when the work found a problem or is not finished, 2 for wrong
    use, and 128 with the signal's number when a signal ended it (130 for Ctrl-C, 143).
    """
    command = commands()
    try:
        stop_in_order()
        code = command.main(args=arguments, prog_name="voiceassist", standalone_mode=False)
    except typer.Exit as done:  # pragma: no cover - click turns it into a return value
        code = done.exit_code
    except Stopped as stopped:
        code = _stopped(stopped)
    except VoiceAssistError as error:
        print(error, file=sys.stderr)
        code = WRONG_USE
    except OSError as error:
        code = _unwritten(error)
    except Exception as error:
        behind = stop_behind(error)
        code = _stopped(behind) if behind else _usage(error)
    stop_no_more()
    sys.exit(code if isinstance(code, int) else DONE)


def _stopped(stopped: Stopped) -> int:
    """Tell how to go on, once, and give the exit code."""
    if not stopped.told:
        say_stopped()
    return stopped.code


def _unwritten(error: OSError) -> int:
    """Tell what the system refused; who closed a pipe wants to hear no more."""
    sys.stdout = None  # what is left in it would be tried again at the very end
    if not isinstance(error, BrokenPipeError):
        where = f"{error.filename}: it cannot be used" if error.filename else _NO_ROOM
        print(f"{where}: {error.strerror or error}", file=sys.stderr)
    return WRONG_USE


def _usage(error: Exception) -> int:
    """Tell a usage error of the argument parser in one sentence; others are ours to mend."""
    message = getattr(error, "format_message", None)
    if message is None:
        raise error
    print(wrong_use(message(), getattr(error, "ctx", None)), file=sys.stderr)
    return int(getattr(error, "exit_code", WRONG_USE))
