"""Several processes that speak, each its own shards."""

import multiprocessing
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

import torch

from training import formants
from training.clips import Shard
from training.hmm import Models
from training.phonemes import Spoken, read
from training.speech import Speaker, Voices, parts, speak
from training.tubes import Tubes

Saying = Callable[[Sequence[Spoken], Random], Shard]


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be spoken.

    Parts:
        data: the folder of the network, the voices, and the shards in ``speech``.
        texts: the file of phrases.
        until: no shard is begun after this time of the clock.
        processes: how many speak.
        device: on which.
        voices: names of the voices that speak; all of them where there are none.
        but: names of voices that do not.
        shard: phrases of a shard.
        formants: whether espeak-ng speaks, not the network.
        tubes: whether gnuspeech does.
        hmm: whether RHVoice does.
    """

    data: Path
    texts: Path
    until: float
    processes: int
    device: str
    voices: tuple[str, ...] = ()
    but: tuple[str, ...] = ()
    shard: int = 100
    formants: bool = False
    tubes: bool = False
    hmm: bool = False

    def speaks(self, voice: str) -> bool:
        """Whether a voice speaks."""
        return voice not in self.but and (not self.voices or voice in self.voices)


def speak_all(order: Order) -> None:
    """Speak what is not there yet, until the time is over."""
    (order.data / "speech").mkdir(exist_ok=True)
    context = multiprocessing.get_context("spawn")
    told = [(order, k) for k in range(order.processes)]
    workers = [context.Process(target=_work, args=each) for each in told]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()


def _work(order: Order, worker: int) -> None:
    torch.set_num_threads(1)
    say = _sayer(order)
    phrases = read(order.texts)
    for number, place in parts(len(phrases), order.shard):
        path = order.data / "speech" / f"{order.texts.stem}-{number:04}.npz"
        mine = number % order.processes == worker and not path.exists()
        if mine and time.time() < order.until:
            shard = say(phrases[place], Random(number))
            shard.save(path)
            print(f"{path.name}: {shard.seconds:.0f} s", flush=True)


def _sayer(order: Order) -> Saying:
    if order.formants:
        return _by_formants
    if order.hmm:
        return _by_models(order)
    return _by_tubes(order) if order.tubes else _by_network(order)


def _by_network(order: Order) -> Saying:
    voices = Voices.load(order.data / "voices.npz").those(order.speaks)
    speaker = Speaker(order.data / "kokoro.onnx", voices, order.device)
    return lambda phrases, rng: speak(speaker, phrases, rng)


def _by_tubes(order: Order) -> Saying:
    tubes = Tubes(order.data / "gnuspeech.mjs")
    return lambda phrases, rng: tubes.speak([spoken.text for spoken in phrases], rng)


def _by_models(order: Order) -> Saying:
    models = Models(order.data / "rhvoice")
    return lambda phrases, rng: models.speak([spoken.text for spoken in phrases], rng)


def _by_formants(phrases: Sequence[Spoken], rng: Random) -> Shard:
    return formants.speak([spoken.text for spoken in phrases], rng)
