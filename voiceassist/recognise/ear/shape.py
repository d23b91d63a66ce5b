"""The signs the network writes, and the name and size of each of its weights."""

from collections.abc import Mapping

#: Nothing, a space between words, the letters and the apostrophe, in the network's order.
SIGNS = "_ abcdefghijklmnopqrstuvwxyz'"
BLANK = 0
#: The number of each sign that can be written.
NUMBERS: Mapping[str, int] = {sign: number for number, sign in enumerate(SIGNS) if number}

#: Width of the network, of its attention heads and of the part of them that turns with time.
WIDTH, HEADS, TURNED = 288, 8, 32
_INNER = 4 * WIDTH
#: Layers of the encoder, and of the part that reads letters off it.
ENCODER_LAYERS, TOP_LAYERS = 6, 2
#: Window and step of each of the three convolutions, in what comes into it.
WINDOWS = ((127, 64), (7, 3), (3, 2))

_LAYER: Mapping[str, tuple[int, ...]] = {
    **{f"self_attn.{part}_proj.weight": (WIDTH, WIDTH) for part in "qkvo"},
    "mlp.fc1.weight": (_INNER, WIDTH),
    "mlp.fc1.bias": (_INNER,),
    "mlp.fc2.weight": (WIDTH, _INNER),
    "mlp.fc2.bias": (WIDTH,),
    "input_layernorm.weight": (WIDTH,),
    "post_attention_layernorm.weight": (WIDTH,),
}

#: Where the layers' weights are found, in the order of use.
LAYERS = (
    *(f"enc.layers.{number}" for number in range(ENCODER_LAYERS)),
    *(f"top.{number}" for number in range(TOP_LAYERS)),
)

#: Every weight and its size.
SIZES: Mapping[str, tuple[int, ...]] = {
    "enc.conv1.weight": (WIDTH, 1, WINDOWS[0][0]),
    "enc.groupnorm.weight": (WIDTH,),
    "enc.groupnorm.bias": (WIDTH,),
    "enc.conv2.weight": (2 * WIDTH, WIDTH, WINDOWS[1][0]),
    "enc.conv2.bias": (2 * WIDTH,),
    "enc.conv3.weight": (WIDTH, 2 * WIDTH, WINDOWS[2][0]),
    "enc.conv3.bias": (WIDTH,),
    **{f"{layer}.{name}": size for layer in LAYERS for name, size in _LAYER.items()},
    "enc.layer_norm.weight": (WIDTH,),
    "norm.weight": (WIDTH,),
    "head.weight": (len(SIGNS), WIDTH),
    "head.bias": (len(SIGNS),),
}
