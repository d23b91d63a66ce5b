"""The PortAudio library behind microphone and loudspeaker, and the devices it sees."""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from voiceassist.devices.alsa import hush_alsa
from voiceassist.devices.library import library
from voiceassist.errors import DeviceError

Direction = Literal["input", "output"]
Result = TypeVar("Result")

_NOUN = {"input": "microphone", "output": "loudspeaker"}

#: Held while a stream is opened and while the library starts afresh: never both at once.
_opening = threading.Lock()
#: Opening takes a second or two when a device sleeps.
_PATIENCE_S = 8.0
#: Streams opened and not closed as far as is known; starting afresh would break them.
_streams: list[Any] = []
_LOOK_S = 0.05


@dataclass(frozen=True, slots=True)
class SoundDevice:
    """One sound device.

    Parts:
        name: choose it by this name, or by a part that no other name has.
        inputs, outputs: how many channels it has each way.
        rate_hz: its own rate.
        default_input, default_output: it is used when none is named.
    """

    name: str
    inputs: int
    outputs: int
    rate_hz: int
    default_input: bool = False
    default_output: bool = False


def sounddevice() -> Any:  # noqa: ANN401 - an untyped library
    """The sounddevice module.

    Raises:
        DeviceError: it, or the PortAudio library, is missing.
    """
    module = library(
        "sounddevice", "PortAudio", "install the package libportaudio2, or work with --typed"
    )
    hush_alsa()
    return module


def devices() -> tuple[SoundDevice, ...]:
    """Every device that was there when PortAudio was first used; empty when there is none.

    Raises:
        DeviceError: PortAudio is missing.
    """
    module = sounddevice()
    default_input, default_output = module.default.device
    return tuple(
        SoundDevice(
            name=str(each["name"]),
            inputs=int(each["max_input_channels"]),
            outputs=int(each["max_output_channels"]),
            rate_hz=round(each["default_samplerate"]),
            default_input=index == default_input,
            default_output=index == default_output,
        )
        for index, each in enumerate(module.query_devices())
    )


def rate_of(name: str, direction: Direction) -> int:
    """The own rate of the device called ``name``, or of the default one.

    Raises:
        DeviceError: there is no such device, or none at all, or PortAudio is missing.
    """
    return round(float(_told_of(name, direction)["default_samplerate"]))


def latency_of(name: str, direction: Direction) -> float:
    """How much sound, in seconds, the driver likes to hold so that nothing is lost.

    Raises:
        DeviceError: there is no such device, or none at all, or PortAudio is missing.
    """
    return float(_told_of(name, direction)[f"default_high_{direction}_latency"])


def _told_of(name: str, direction: Direction) -> Any:  # noqa: ANN401 - an untyped library
    module = sounddevice()
    noun = _NOUN[direction]
    try:
        return module.query_devices(name or None, direction)
    except ValueError:
        raise DeviceError(
            f"no single {noun} is called {name!r}", remedy=_choice(direction)
        ) from None
    except module.PortAudioError:
        raise DeviceError(f"there is no {noun}", remedy=_choice(direction)) from None


def opened(open_stream: Callable[[], Result], name: str, direction: Direction) -> Result:
    """What ``open_stream`` gives, its failures translated.

    Raises:
        DeviceError: PortAudio cannot open the device.
    """
    module = sounddevice()
    try:
        with _alone(f"the {_NOUN[direction]} cannot be opened", name):
            stream = open_stream()
            _streams[:] = [*(each for each in _streams if not each.closed), stream]
            return stream
    except (module.PortAudioError, ValueError) as error:
        raise DeviceError(
            f"the {_NOUN[direction]} cannot be opened: {error.args[0]}",
            place=name,
            remedy="close other programs that use it, or choose another",
        ) from None


def start_afresh(limit_s: float) -> None:
    """Have PortAudio look for devices again; it does so only when it starts.

    Waits until no stream is open, since all end with it. May hang with a device that is gone,
    so call it on a thread that can be spared.

    Raises:
        DeviceError: a stream is still open after ``limit_s`` seconds, or PortAudio fails.
    """
    module = sounddevice()
    due = time.monotonic() + limit_s
    while True:
        with _alone("the sound devices cannot be looked for again", ""):
            if all(stream.closed for stream in _streams):
                _start_afresh(module)
                return
        if time.monotonic() > due:
            raise DeviceError(
                "the list of sound devices cannot be renewed while one is in use",
                remedy="wait, or start the program again",
            )
        time.sleep(_LOOK_S)


def _start_afresh(module: Any) -> None:  # noqa: ANN401 - an untyped library
    _streams.clear()
    try:
        # Private names, but the only way to a fresh list; the library's own issues say so too.
        if module._initialized:  # it is not when the last start failed
            module._terminate()
        module._initialize()
    except module.PortAudioError as error:
        raise DeviceError(
            f"PortAudio cannot start again: {error.args[0]}", remedy="start the program again"
        ) from None


@contextmanager
def _alone(found: str, place: str) -> Iterator[None]:
    if not _opening.acquire(timeout=_PATIENCE_S):
        raise DeviceError(
            f"{found}: the sound system does not answer",
            place=place,
            remedy="plug the device in again, or start the program again",
        )
    try:
        yield
    finally:
        _opening.release()


def _choice(direction: Direction) -> str:
    """What to do about a device that is not there."""
    fitting = [d.name for d in devices() if (d.inputs if direction == "input" else d.outputs)]
    return "choose one of: " + ", ".join(fitting) if fitting else "plug one in"
