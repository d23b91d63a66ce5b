"""What all tests share: a sound server of our own, and which tests want the machine alone."""

import gc
import signal
from collections.abc import Callable, Collection, Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from soundserver import SoundServer, lacking, serving

#: Tests in real time: beside tests that keep a core busy they are late through no fault of the
#: program. Most of their time is waiting, so three of them go side by side.
_ALONE = (
    "tests/test_demo.py",
    "tests/test_live.py",
    "tests/test_live_breaks.py",
    "tests/devices/test_key.py",
    "tests/devices/test_lasting.py",
    "tests/devices/test_microphone.py",
    "tests/devices/test_playing.py",
    "tests/devices/test_portaudio.py",
    "tests/devices/test_replugging.py",
    "tests/devices/test_sound_devices.py",
    "tests/app/test_own_voice.py",
    "tests/cli/test_soundcheck.py::test_through_real_devices",
    "tests/cli/test_stopping.py::test_a_session_that_is_stopped",
    "tests/cli/test_stopping.py::test_a_signal",
    "tests/cli/test_stopping.py::test_without_a_microphone_a_job",
    "tests/cli/screen/test_terminal.py",
)

#: Of these a test that fails is tried twice more, which the summary tells: where the machine stands
#: still for a moment, sound is lost through no fault of the program. Not where signals are sent:
#: there a failure in a hundred runs has been the program's own.
_MEASURED_IN_REAL_TIME = tuple(name for name in _ALONE if "test_stopping" not in name)

_HERE = Path(__file__).parent

# An example may take as long as it likes: how long it takes is a matter of the machine's load.
settings.register_profile("any-machine", deadline=None)
settings.load_profile("any-machine")


#: Choices of tests that the README and ``.ci/run`` make, and what a file has to have for one of
#: its tests to be among them. Others are not even imported, which is a fifth of a minute each time.
_HAS: dict[str, Callable[[Path], bool]] = {
    "not alone and not census": lambda file: not _is(file, _ALONE),
    "alone and not census": lambda file: _is(file, {name.partition("::")[0] for name in _ALONE}),
    "census": lambda file: "pytest.mark.census" in file.read_text(encoding="utf-8"),
}


def _is(file: Path, names: Collection[str]) -> bool:
    return file.relative_to(_HERE.parent).as_posix() in names


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave out the files that have no test of those that are asked for."""
    has = _HAS.get(config.option.markexpr)
    if has is None or not collection_path.match("test_*.py"):
        return None
    return None if has(collection_path) else True


gc.disable()  # what collecting makes stays, and would be looked through again and again


def pytest_collection_finish() -> None:
    gc.freeze()
    gc.set_threshold(20_000)  # as the program has it
    gc.enable()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the tests that run alone, which are slow as well."""
    for item in items:
        if item.nodeid.startswith(_ALONE):
            item.add_marker(pytest.mark.alone)
            item.add_marker(pytest.mark.slow)
        if item.nodeid.startswith(_MEASURED_IN_REAL_TIME):
            item.add_marker(pytest.mark.flaky(reruns=2, reruns_delay=1))


_SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


@pytest.fixture(autouse=True)
def signals_that_nobody_ignores() -> Iterator[None]:
    """What starts tests in the background may ignore signals, and programs started from here too.

    A shell does so to what it starts with "&", and ``nohup`` does; the program rightly heeds it.
    At its own end the program ignores them as well, also where a test calls it in this process.
    """
    before = {number: signal.getsignal(number) for number in _SIGNALS}
    for number, handler in before.items():
        if handler is signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL)
    yield
    for number, handler in before.items():
        signal.signal(number, handler)


@pytest.fixture
def sound_server(tmp_path: Path) -> Iterator[SoundServer]:
    """A server for one test, gone after it."""
    if reason := lacking():
        pytest.skip(reason)
    with serving(tmp_path) as server:
        yield server
