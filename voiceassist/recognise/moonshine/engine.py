"""The model's two networks: sound to states, and states and tokens to the next token."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voiceassist.errors import RecogniseError
from voiceassist.recognise.moonshine.files import INSTALL, ModelFiles
from voiceassist.recognise.moonshine.shape import (
    FIXED,
    KEPT,
    NOTHING_KEPT,
    past,
    present,
    wrong_shape,
)
from voiceassist.recognise.moonshine.tokens import START

Floats = NDArray[np.float32]
Whole = NDArray[np.intp]

_WANTED = ["logits", *map(present, KEPT)]
_WANTED_FIRST = [*_WANTED, *map(present, FIXED)]


@dataclass(slots=True)
class Decoding:
    """Texts being written side by side, each a row, all from the same sound.

    Parts:
        first: log probabilities of the first token, shape (1, tokens).
    """

    first: Floats
    _session: Any
    _inputs: dict[str, NDArray[Any]]

    def step(self, rows: Whole, tokens: Whole) -> Floats:
        """Go on from ``rows`` with ``tokens``, shape (n,) each.

        Returns:
            Log probabilities of the next token under the whole vocabulary, shape (n, tokens).
        """
        inputs = self._inputs
        for name in map(past, KEPT):
            inputs[name] = inputs[name][rows]
        inputs["input_ids"] = tokens.astype(np.int64).reshape(-1, 1)
        logits, *kept = self._session.run(_WANTED, inputs)
        inputs.update(zip(map(past, KEPT), kept, strict=True))
        return _log_softmax(logits[:, -1])

    def again(self) -> "Decoding":
        """The same from its start; only before the first ``step``."""
        return Decoding(self.first, self._session, dict(self._inputs))


@dataclass(frozen=True, slots=True)
class Both:
    """One text's rows decoded twice: from a sound, and from one without speech.

    Parts:
        heard: from the sound.
        unheard: from the sound without speech: what the model would write of itself.
        helper: runs the second beside the first; None to run one after the other.
    """

    heard: Decoding
    unheard: Decoding
    helper: ThreadPoolExecutor | None = None

    @property
    def first(self) -> tuple[Floats, Floats]:
        """Log probabilities of the first token, heard and unheard, shape (1, tokens) each."""
        return self.heard.first, self.unheard.first

    def step(self, rows: Whole, tokens: Whole) -> tuple[Floats, Floats]:
        """As ``Decoding.step``, heard and unheard."""
        if self.helper is None:
            return self.heard.step(rows, tokens), self.unheard.step(rows, tokens)
        other = self.helper.submit(self.unheard.step, rows, tokens)
        return self.heard.step(rows, tokens), other.result()


class Engine:
    """The networks, loaded.

    Args:
        files: the model.
        threads: processor threads for one clip, 1 or more.

    Raises:
        RecogniseError: onnxruntime is missing, or a file is no network of this shape.
    """

    def __init__(self, files: ModelFiles, threads: int = 2) -> None:
        # The two decodings of a clip run side by side, so each has half of the threads.
        self._helper = ThreadPoolExecutor(1, "unheard") if threads > 1 else None
        self._encoder = _session(files.encoder, threads)
        self._decoder = _session(files.decoder, max(1, threads // 2))
        for path, session in ((files.encoder, self._encoder), (files.decoder, self._decoder)):
            fault = wrong_shape(session, decoder=session is self._decoder)
            if fault:
                raise RecogniseError(
                    fault, place=str(path), remedy="use the tiny model for which this was made"
                )

    @property
    def vocabulary(self) -> int:
        """How many tokens it chooses from."""
        sizes: dict[str, int] = {o.name: o.shape[-1] for o in self._decoder.get_outputs()}
        return sizes["logits"]

    def decode(self, samples: Floats) -> Decoding:
        """Listen to ``samples``, shape (n,), -1 to 1 at 16 kHz, and begin to write."""
        sound = samples.reshape(1, -1)
        mask = np.ones(sound.shape, np.int64)
        states = self._encoder.run(None, {"input_values": sound, "attention_mask": mask})[0]
        inputs: dict[str, NDArray[Any]] = {
            "encoder_attention_mask": np.ones(states.shape[:2], np.int64),
            "encoder_hidden_states": states,
            "input_ids": np.array([[START]], np.int64),
            "use_cache_branch": np.array([False]),
            **{past(name): NOTHING_KEPT for name in (*KEPT, *FIXED)},
        }
        logits, *kept = self._decoder.run(_WANTED_FIRST, inputs)
        inputs.update(zip(map(past, (*KEPT, *FIXED)), kept, strict=True))
        inputs["use_cache_branch"] = np.array([True])
        # What belongs to the sound stays a batch of one; the network stretches it to all rows.
        return Decoding(_log_softmax(logits[:, -1]), self._decoder, inputs)

    def both(self, heard: Decoding, unheard: Decoding) -> Both:
        """Two decodings to be led through the same tokens; ``unheard`` can be used again."""
        return Both(heard, unheard.again(), self._helper)

    def close(self) -> None:
        """Free the networks and the thread."""
        if self._helper is not None:
            self._helper.shutdown()
        self._encoder = self._decoder = None


def _session(path: Path, threads: int) -> Any:  # noqa: ANN401 - an untyped library
    try:
        import onnxruntime
    except ImportError:
        raise RecogniseError(
            "the listener moonshine needs onnxruntime, which is not installed", remedy=INSTALL
        ) from None
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = threads
    options.inter_op_num_threads = 1
    options.log_severity_level = 4
    # A thread that waits for work must not take the processor from the rest of the program.
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")
    try:
        return onnxruntime.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])
    except Exception:  # the library has no common parent for its errors
        raise RecogniseError(
            "this is not a whole network that onnxruntime can load",
            place=str(path),
            remedy="copy or install the model again",
        ) from None


def _log_softmax(logits: Floats) -> Floats:
    shifted: Floats = logits - logits.max(axis=1, keepdims=True)
    shifted -= np.log(np.exp(shifted).sum(axis=1, keepdims=True))
    return shifted
