"""The PortAudio library behind microphone and loudspeaker, and the devices it sees."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from voiceassist.devices.library import library
from voiceassist.errors import DeviceError

Direction = Literal["input", "output"]
Result = TypeVar("Result")

_NOUN = {"input": "microphone", "output": "loudspeaker"}


@dataclass(frozen=True, slots=True)
class Device:
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
    return library(
        "sounddevice", "PortAudio", "install the package libportaudio2, or work with --typed"
    )


def devices() -> tuple[Device, ...]:
    """Every device that was there when PortAudio was first used; empty when there is none.

    Raises:
        DeviceError: PortAudio is missing.
    """
    module = sounddevice()
    default_input, default_output = module.default.device
    return tuple(
        Device(
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
    module = sounddevice()
    noun = _NOUN[direction]
    try:
        found = module.query_devices(name or None, direction)
    except ValueError:
        raise DeviceError(
            f"no single {noun} is called {name!r}", remedy=_choice(direction)
        ) from None
    except module.PortAudioError:
        raise DeviceError(f"there is no {noun}", remedy=_choice(direction)) from None
    rate_hz: float = found["default_samplerate"]
    return round(rate_hz)


def opened(open_stream: Callable[[], Result], name: str, direction: Direction) -> Result:
    """What ``open_stream`` gives, its failures translated.

    Raises:
        DeviceError: PortAudio cannot open the device.
    """
    module = sounddevice()
    try:
        return open_stream()
    except (module.PortAudioError, ValueError) as error:
        raise DeviceError(
            f"the {_NOUN[direction]} cannot be opened: {error.args[0]}",
            place=name,
            remedy="close other programs that use it, or choose another",
        ) from None


def _choice(direction: Direction) -> str:
    """What to do about a device that is not there."""
    fitting = [d.name for d in devices() if (d.inputs if direction == "input" else d.outputs)]
    return "choose one of: " + ", ".join(fitting) if fitting else "plug one in"
