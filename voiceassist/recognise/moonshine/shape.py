"""Names and sizes of what goes into the tiny model's networks and comes out of them."""

from typing import Any

import numpy as np

_LAYERS, _HEADS, _SIZE, _WIDTH = 6, 8, 36, 288
#: Keys and values of each layer: for the text so far, and for the sound.
KEPT = [f"{layer}.decoder.{part}" for layer in range(_LAYERS) for part in ("key", "value")]
FIXED = [f"{layer}.encoder.{part}" for layer in range(_LAYERS) for part in ("key", "value")]
#: Keys or values of no token at all.
NOTHING_KEPT = np.zeros((1, _HEADS, 0, _SIZE), np.float32)


def past(name: str) -> str:
    """The decoder's input called ``name``."""
    return f"past_key_values.{name}"


def present(name: str) -> str:
    """The decoder's output called ``name``."""
    return f"present.{name}"


#: Input to its last dimensions that have a fixed size; None for any.
_ENCODER_INPUTS: dict[str, tuple[int, ...]] = {"input_values": (), "attention_mask": ()}
_DECODER_INPUTS: dict[str, tuple[int, ...]] = {
    "encoder_attention_mask": (),
    "input_ids": (),
    "encoder_hidden_states": (_WIDTH,),
    "use_cache_branch": (1,),
    **{past(name): (_SIZE,) for name in (*KEPT, *FIXED)},
}


def wrong_shape(session: Any, *, decoder: bool) -> str:  # noqa: ANN401 - an untyped library
    """What is wrong with a network's inputs, in words; empty when they are as they should be."""
    due = _DECODER_INPUTS if decoder else _ENCODER_INPUTS
    found = {each.name: tuple(each.shape) for each in session.get_inputs()}
    for name, shape in due.items():
        if name not in found:
            return f"the network has no input {name}"
        if shape and found[name][-1:] != shape[-1:]:
            return f"the network's input {name} has another size than {shape[-1]}"
    extra = sorted(found.keys() - due.keys())
    return f"the network has a further input {extra[0]}" if extra else ""
