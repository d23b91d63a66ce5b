"""What the ear costs: ``python tests/benchmarks/ear_speed.py [--onnx]``.

Seconds of processor for a phrase on one core (network and search) and for the guess at loose talk
in one wording and in four, seconds until it is ready in a fresh process of an installed program,
and the memory of that process. With ``--onnx`` the same network is written as ONNX
and run by onnxruntime with one thread beside the numpy that is shipped; that needs the extra
"training". Times are of the processor, so that others at work on the machine disturb little.
"""

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

HOUSE = Path(__file__).parents[2]
sys.path[:0] = [str(HOUSE), str(HOUSE / "tests")]

import numpy as np  # noqa: E402
from numpy.typing import NDArray  # noqa: E402
from talk.situations import standing_at  # noqa: E402

from voiceassist.app import build  # noqa: E402
from voiceassist.app.live.weighed import written_chances  # noqa: E402
from voiceassist.app.settings.settings import Settings  # noqa: E402
from voiceassist.devices.wav import read_clip  # noqa: E402
from voiceassist.language.expectation import Expectation  # noqa: E402
from voiceassist.measure.units import unit  # noqa: E402
from voiceassist.recognise.ear.weights import FILE, SHA256, read_weights  # noqa: E402
from voiceassist.session.guessing import likely, where  # noqa: E402
from voiceassist.sound.samples import clip_of, samples_of  # noqa: E402

PHRASES = HOUSE / "audio_fixtures" / "phrases"
GOALS = {"phrase_s": 0.06, "ready_s": 0.6, "memory_mb": 180}
_ROUNDS = 3
#: Said loosely at a step that measures; made up here.
LOOSE = (
    "what should i be seeing on this one then", "hang on a second while i find my glasses",
    "remind me which pin that was again", "i have not got a clue what you just said",
    "does it matter if the lights are on", "that last number was rubbish forget it",
    "can you talk a bit slower please", "how long is all this going to take",
)  # fmt: skip

#: Ready to hear a step, from nothing; prints processor and wall seconds, and the highest memory.
_COLD = """
import time
wall, used = time.time(), time.process_time()
from voiceassist.recognise.ear.listener import EarListener
EarListener()
alone = time.process_time() - used
from voiceassist.app import build
from voiceassist.app.settings.settings import Settings
from voiceassist.language.expectation import Expectation
from voiceassist.measure.units import unit
shop = build.Components(Settings(listener="ear"))
hearing = shop.hearing()
hearing.prepare(shop.language.compose(Expectation(("voltage",), unit("V"))))
status = open("/proc/self/status").read()
highest = int(status.partition("VmHWM:")[2].split()[0]) / 1024
print(time.process_time(), time.time() - wall, alone, highest)
"""

Floats = NDArray[np.float32]


def figure(name: str, found: str, goal: str = "") -> None:
    """A line of the table."""
    print(f"{name:<52} {found:>22} {('goal ' + goal) if goal else '':>14}", flush=True)


def sounds() -> list[Floats]:
    """The phrases among the fixtures, as the network takes them."""
    clips = [read_clip(path) for path in sorted(PHRASES.glob("*.wav"))]
    return [samples_of(clip).astype(np.float32) / np.float32(32_768) for clip in clips]


def processor_s(do: Callable[[Floats], object], of: Sequence[Floats]) -> list[float]:
    """What each sound takes, the least of some rounds."""

    def once(sound: Floats) -> float:
        began = time.process_time()
        do(sound)
        return time.process_time() - began

    do(of[0])
    return [min(once(sound) for _ in range(_ROUNDS)) for sound in of]


def spread(seconds: Sequence[float]) -> str:
    """Median and 95th percentile, in milliseconds."""
    high = sorted(seconds)[round(0.95 * (len(seconds) - 1))]
    return f"{1000 * statistics.median(seconds):.0f} / {1000 * high:.0f} ms"


def hearing() -> None:
    """Whole phrases through the listener and its odds."""
    shop = build.Components(Settings(listener="ear"))
    ear = shop.hearing()
    ear.prepare(shop.language.compose(Expectation(("voltage",), unit("V"))))
    times = []
    for path in sorted(PHRASES.glob("*.wav")):
        clip = read_clip(path)
        ear.hear(clip)
        began = time.process_time()
        ear.hear(clip)
        times.append(time.process_time() - began)
    lengths = [sound.size / 16_000 for sound in sounds()]
    name = f"a phrase of {statistics.median(lengths):.1f} s, median / 95th of {len(times)}"
    figure(name, spread(times), f"{GOALS['phrase_s']} s")
    figure("memory of this process after them, highest", f"{_highest_mb():.0f} MB",
           f"{GOALS['memory_mb']} MB")  # fmt: skip
    talk = clip_of(np.concatenate(sounds()[:4]) * 32_768, 16_000)
    first, again = (_processor_s_of(lambda: ear.hear(talk)) for _ in range(2))
    figure(f"{talk.seconds:.0f} s of talk that is no phrase, first / again",
           f"{1000 * first:.0f} / {1000 * again:.0f} ms")  # fmt: skip
    figure("memory after that, highest", f"{_highest_mb():.0f} MB", f"{GOALS['memory_mb']} MB")
    ear.close()


def loose() -> None:
    """The guess at loose talk, at a step that measures."""
    one, turn = standing_at("volts")
    setup, guesser = one.engine.at(turn.session), one.guesser()
    assert guesser is not None

    def guess(words: str, ways: int) -> None:
        options = likely(setup, turn.session, words)
        written = {f"{words}{' uh' * way}": 1 / ways for way in range(ways)}
        written_chances(guesser, written, options, where(setup, turn.session))

    guess(LOOSE[0], 1)
    for ways in (1, 4):
        times = [_processor_s_of(partial(guess, each, ways)) for each in LOOSE]
        figure(f"a guess at loose talk in {ways} wording(s), median / 95th", spread(times))


def _processor_s_of(do: Callable[[], object]) -> float:
    began = time.process_time()
    do()
    return time.process_time() - began


def _highest_mb() -> float:
    """The most memory this process had at a time."""
    status = Path("/proc/self/status").read_text(encoding="utf-8")
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


def cold() -> None:
    """A fresh process until it is ready; the best of some, for disk and others' work.

    Its modules are compiled, as pip leaves them: the first round does that, and is not counted.
    """
    own = {n: each for n, each in os.environ.items() if n != "PYTHONDONTWRITEBYTECODE"}
    found = []
    with tempfile.TemporaryDirectory() as compiled:
        for _ in range(1 + _ROUNDS):
            done = subprocess.run(
                [sys.executable, "-c", _COLD], check=True, capture_output=True, text=True,
                cwd=HOUSE, env={**own, "PYTHONPYCACHEPREFIX": compiled},
            )  # fmt: skip
            found.append([float(each) for each in done.stdout.split()])
    cpu, wall, alone, memory = min(found[1:])
    figure("ready for a step from cold, processor / wall", f"{cpu:.2f} / {wall:.2f} s",
           f"{GOALS['ready_s']} s")  # fmt: skip
    figure("  the listener alone: import, weights, processor", f"{alone:.2f} s")
    figure("memory of that process at its highest", f"{memory:.0f} MB", f"{GOALS['memory_mb']} MB")


def against_onnx() -> None:
    """The same network in numpy and in onnxruntime, one thread each."""
    import onnxruntime

    from voiceassist.recognise.ear.network import LetterNetwork

    network, of = LetterNetwork(read_weights(FILE, SHA256)), sounds()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ear.onnx"
        write_onnx(path)
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        session = onnxruntime.InferenceSession(str(path), options)
        size = path.stat().st_size / 1e6

    def run(sound: Floats) -> Floats:
        scores: Floats = session.run(None, {"sound": sound[None]})[0][0]
        return np.asarray(scores - np.log(np.exp(scores).sum(-1, keepdims=True)))

    apart = max(float(np.abs(np.exp(network.letters(s)) - np.exp(run(s))).max()) for s in of)
    figure("network alone: numpy", spread(processor_s(network.letters, of)))
    figure("network alone: onnxruntime, single precision", spread(processor_s(run, of)))
    figure("  its file, where ours has half precision", f"{size:.0f} MB")
    figure("  largest difference of a probability", f"{apart:.1e}")


def write_onnx(path: Path) -> None:
    """The shipped weights as a network of ONNX that takes sound of any length."""
    import torch

    from training import ear, encoder
    from training.export import read

    heads, each = encoder.HEADS, encoder.WIDTH // encoder.HEADS

    # As in the encoder, for one sound that is speech throughout, with no length that tracing fixes.
    def turned(x: torch.Tensor, turn: tuple[torch.Tensor, torch.Tensor]) -> torch.Tensor:
        part, rest = x[..., : encoder.TURNED], x[..., encoder.TURNED :]
        across = torch.stack((-part[..., 1::2], part[..., 0::2]), -1)
        across = across.reshape(1, heads, -1, encoder.TURNED)
        return torch.cat((part * turn[0] + across * turn[1], rest), -1)

    def attended(
        self: encoder.Attention,
        x: torch.Tensor,
        turn: tuple[torch.Tensor, torch.Tensor],
        _: torch.Tensor,
    ) -> torch.Tensor:
        q, k, v = (p(x).reshape(1, -1, heads, each).transpose(1, 2) for p in self._in())
        weights = (turned(q, turn) @ turned(k, turn).transpose(2, 3)) * each**-0.5
        y = (weights.softmax(-1) @ v).transpose(1, 2).reshape(1, -1, encoder.WIDTH)
        out: torch.Tensor = self.o_proj(y)
        return out

    def turning(x: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        step = 1.0 / 10_000 ** (torch.arange(0, encoder.TURNED, 2).float() / encoder.TURNED)
        place = torch.cumsum(torch.ones_like(x[0, :, :1]), 0) - 1
        angle = (place * step)[:, :, None].expand(-1, -1, 2).reshape(-1, encoder.TURNED)
        return angle.cos(), angle.sin()

    encoder.Attention.forward = attended  # type: ignore[method-assign, assignment]
    encoder.turning = ear.turning = turning  # type: ignore[attr-defined]

    class Letters(torch.nn.Module):
        """The scores of one sound."""

        def __init__(self) -> None:
            super().__init__()
            self.ear = ear.Ear().eval()
            self.ear.load_state_dict(read(FILE))

        def forward(self, sound: torch.Tensor) -> torch.Tensor:
            """All of it is speech."""
            samples = torch.ones_like(sound, dtype=torch.int64).sum(1)
            scores: torch.Tensor = self.ear(sound, samples)[1]
            return scores

    torch.onnx.export(
        Letters(), (torch.zeros(1, 32_000),), str(path), dynamo=False, opset_version=17,
        input_names=["sound"], output_names=["scores"],
        dynamic_axes={"sound": {1: "samples"}, "scores": {1: "states"}},
    )  # fmt: skip


def main() -> None:
    """Print the figures."""
    options = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    options.add_argument("--onnx", action="store_true", help="onnxruntime beside numpy")
    given = options.parse_args()
    hearing()
    loose()
    cold()
    if given.onnx:
        against_onnx()


if __name__ == "__main__":
    main()
