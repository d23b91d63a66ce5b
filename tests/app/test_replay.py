"""What a resumed session takes for said already comes from the types of its outputs."""

from dataclasses import dataclass
from typing import ClassVar, get_args

from voiceassist.app.live import replay
from voiceassist.record.lines import KINDS
from voiceassist.session.events import Event
from voiceassist.session.outputs import Output, kept_kinds


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
