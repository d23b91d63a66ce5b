"""What a resumed session takes for said already comes from the types of its outputs."""

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar, get_args

from bench import BOOK
from prove.shop import LAMP
from running import call

from voiceassist.app.live import replay
from voiceassist.procedure.read import read_procedure
from voiceassist.record.entry import lines_of
from voiceassist.record.folder import sessions
from voiceassist.record.lines import KINDS
from voiceassist.record.read_journal import read
from voiceassist.session.engine import Engine
from voiceassist.session.events import Event
from voiceassist.session.outputs import Output, kept_kinds
from voiceassist.session.session import SessionSetup


def test_a_new_kind_of_output_is_known_at_once() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class MeterTold(Output):
        event: ClassVar[str] = "meter-told"

    assert MeterTold.event in kept_kinds()
    assert {"say", "reading", "end"} <= kept_kinds()
    assert "listen" not in kept_kinds()


def test_every_event_can_be_read_back() -> None:
    made = (replay._event(kind({"event": name})) for name, kind in KINDS.items())
    assert {type(event) for event in made if event is not None} == set(get_args(Event))


def test_what_was_said_to_a_simulated_vehicle_is_not_given_to_the_engine(tmp_path: Path) -> None:
    """Else the session would answer, when it is resumed, that it did not understand."""
    lamp, records = tmp_path / "side-lamp.yaml", tmp_path / "records"
    lamp.write_text(LAMP, encoding="utf-8")
    call(
        "rehearse", str(lamp), "--fault", "lamp-gone", "--typed", "--silent",
        "--records", str(records), typed="affirm\nswitch the side lights on\n",
        XDG_CACHE_HOME=str(tmp_path),
    )  # fmt: skip
    (folder,) = sessions(records)
    procedure = read_procedure(LAMP, "side-lamp.yaml")
    kept, engine = lines_of(read(folder.journal)), Engine(SessionSetup(procedure, BOOK))
    back = list(replay.moments(engine, kept))
    assert [moment.turn is None for moment in back] == [False, False, True]
    assert back[1].turn is not None
    assert back[-1].before == back[1].turn.session
    assert replay.replayed(engine, kept).unkept == ()
