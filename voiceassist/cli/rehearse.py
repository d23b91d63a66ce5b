"""``voiceassist rehearse``: a job on a simulated vehicle with a hidden fault."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from voiceassist.cli.choosing import named, none_named
from voiceassist.cli.options import Json, On, Silent, Typed, VoiceOut, with_settings
from voiceassist.cli.run import keyboard, staged
from voiceassist.cli.show import warn

if TYPE_CHECKING:
    from voiceassist.app.rehearsal.asked import Asked


Procedure = Annotated[
    str, typer.Argument(help="A procedure file, or a word that names a shipped procedure.")
]
Free = Annotated[
    bool, typer.Option("--free", help="Nobody leads: say what you do, and name the cause.")
]
Fault = Annotated[str, typer.Option(help="This fault of the file; without it one is drawn.")]
Seed = Annotated[int | None, typer.Option(min=0, help="The same seed gives the same vehicle.")]
HowHard = Annotated[str, typer.Option(help="How hard slips count: mild or strict.")]
Seal = Annotated[
    str,
    typer.Option(
        help="Write this rehearsal to FILE, where its fault cannot be read, and stop.",
        metavar="FILE",
    ),
]
Sealed = Annotated[
    str, typer.Option(help="Practise what an instructor sealed in FILE.", metavar="FILE")
]
Simulate = Annotated[
    int | None,
    typer.Option(
        min=1,
        max=1_000_000,
        help="Have a simulated trainee do N rehearsals, and tell what they come to.",
        metavar="N",
    ),
]
By = Annotated[str, typer.Option(help="What the simulated trainee follows: file or advice.")]
Facts = Annotated[
    list[str] | None,
    typer.Option("--set", help="A fact, such as technician=Kim; may be given several times."),
]


@with_settings
def rehearse(
    procedure: Procedure = "",
    free: Free = False,
    fault: Fault = "",
    seed: Seed = None,
    mark: HowHard = "mild",
    seal: Seal = "",
    sealed: Sealed = "",
    simulate: Simulate = None,
    by: By = "file",
    on: On = "",
    typed: Typed = False,
    set_: Facts = None,
    voice_out: VoiceOut = "",
    silent: Silent = False,
    *,
    changes: Mapping[str, object],
    json: Json = False,
) -> None:
    """Practise on a simulated vehicle with a hidden fault.

    No vehicle is touched. Change it by saying so ("unplug the module"), and measure it the same
    way ("voltage from feed pin to body earth"). With a procedure that leads, say "read the meter"
    at each step and tell the reading as on a job. At the end the fault is told, and a mark with
    what each test was worth. The record is marked as a rehearsal everywhere.

    With --simulate, nobody practises and no record is kept: it is told what N rehearsals come to.
    """
    from voiceassist.app.facts_given import facts_given
    from voiceassist.app.rehearsal.asked import asked_for, opened
    from voiceassist.app.session_request import SessionRequest
    from voiceassist.cli.progress import ProgressBar

    asked: Asked
    if sealed:
        procedure, asked = opened(Path(sealed))
    elif procedure:
        procedure, asked = named(procedure), asked_for(fault, seed, mark, free=free)
    else:
        none_named()
    if simulate is not None:
        _simulate(procedure, asked, simulate, by, on, changes, json=json)
        return
    if seal:
        _seal(procedure, asked, Path(seal))
        return
    with ProgressBar("making the vehicles ready") as bar:
        request = SessionRequest(
            procedure=procedure,
            typed=keyboard() if typed else None,
            facts=facts_given(set_ or []),
            voice_out=voice_out,
            silent=silent,
            changes=changes,
            rehearsal=asked,
            progress=bar.at,
        )
        staged(request, str(changes.get("records", "")), json=json)


def _seal(procedure: str, asked: "Asked", path: Path) -> None:
    from voiceassist.app import build
    from voiceassist.app.rehearsal.asked import write_sealed

    write_sealed(path, procedure, asked.settled(build.procedure(procedure).procedure))
    warn(f"Sealed in {path}. To practise it: voiceassist rehearse --sealed {path}")


def _simulate(
    name: str,
    asked: "Asked",
    many: int,
    by: str,
    on: str,
    changes: Mapping[str, object],
    *,
    json: bool,
) -> None:
    """Print what simulated rehearsals come to."""
    from voiceassist.app import build
    from voiceassist.app.rehearsal import simulate
    from voiceassist.app.workers.choose import workers
    from voiceassist.cli.progress import ProgressBar
    from voiceassist.cli.records.common import as_json

    what = simulate.Simulation(many, simulate.leader_called(by), asked)
    shop = build.Components(build.settings(changes))
    written = build.procedure(name)
    with ProgressBar("rehearsing") as bar, workers(on) as at_work:
        results = []
        for result in simulate.simulated(what, written, shop, at_work, bar.at):
            results.append(result)
            if json:
                as_json(result.to_json())
        bar.clear()
    about = simulate.totals(results)
    as_json({"totals": about}) if json else typer.echo("\n".join(simulate.lines(about)))
