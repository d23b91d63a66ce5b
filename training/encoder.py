"""The encoder of the ear, shaped as the tiny English Moonshine: sound in, 42 states a second out.

Moonshine: Jeffries et al. 2024, "Moonshine: Speech Recognition for Live Transcription and Voice
Commands". The states are 288 numbers each; position is told by turning pairs of them
(Su et al. 2021, "RoFormer").
"""

import torch
from torch import Tensor, nn
from torch.nn import functional

WIDTH, INNER, HEADS, LAYERS = 288, 1152, 8, 6
#: How many of the 36 numbers of a head are turned by the position.
TURNED = 32


class Attention(nn.Module):
    """Eight heads over the whole of the sound."""

    def __init__(self) -> None:
        super().__init__()
        self.q_proj = nn.Linear(WIDTH, WIDTH, bias=False)
        self.k_proj = nn.Linear(WIDTH, WIDTH, bias=False)
        self.v_proj = nn.Linear(WIDTH, WIDTH, bias=False)
        self.o_proj = nn.Linear(WIDTH, WIDTH, bias=False)

    def forward(self, x: Tensor, turn: tuple[Tensor, Tensor], mask: Tensor) -> Tensor:
        """Each state looks at every state that the mask lets through."""
        q, k, v = (p(x).unflatten(-1, (HEADS, -1)).transpose(1, 2) for p in self._in())
        y = functional.scaled_dot_product_attention(
            _turned(q, turn), _turned(k, turn), v, attn_mask=mask
        )
        out: Tensor = self.o_proj(y.transpose(1, 2).flatten(2))
        return out

    def _in(self) -> tuple[nn.Module, nn.Module, nn.Module]:
        return self.q_proj, self.k_proj, self.v_proj


class Feedforward(nn.Module):
    """Four times as wide inside."""

    def __init__(self) -> None:
        super().__init__()
        self.fc1 = nn.Linear(WIDTH, INNER)
        self.fc2 = nn.Linear(INNER, WIDTH)

    def forward(self, x: Tensor) -> Tensor:
        """Each state by itself."""
        out: Tensor = self.fc2(functional.gelu(self.fc1(x)))
        return out


class Layer(nn.Module):
    """Attention, then the feedforward part, each added to what came in."""

    def __init__(self) -> None:
        super().__init__()
        self.self_attn = Attention()
        self.mlp = Feedforward()
        self.input_layernorm = nn.LayerNorm(WIDTH, bias=False)
        self.post_attention_layernorm = nn.LayerNorm(WIDTH, bias=False)

    def forward(self, x: Tensor, turn: tuple[Tensor, Tensor], mask: Tensor) -> Tensor:
        """The states after this layer."""
        x = x + self.self_attn(self.input_layernorm(x), turn, mask)
        out: Tensor = x + self.mlp(self.post_attention_layernorm(x))
        return out


class Encoder(nn.Module):
    """Three convolutions that thin the sound out, then six layers."""

    def __init__(self) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(1, WIDTH, 127, 64, bias=False)
        self.groupnorm = nn.GroupNorm(1, WIDTH, eps=1e-5)
        self.conv2 = nn.Conv1d(WIDTH, 2 * WIDTH, 7, 3)
        self.conv3 = nn.Conv1d(2 * WIDTH, WIDTH, 3, 2)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.layer_norm = nn.LayerNorm(WIDTH, bias=False)

    def forward(self, sound: Tensor, samples: Tensor) -> Tensor:
        """States of a batch of sounds, each ``samples`` long and silent after that."""
        x = torch.tanh(self.conv1(sound.unsqueeze(1)))
        x = self._levelled(x, (samples - 127) // 64 + 1)
        x = functional.gelu(self.conv3(functional.gelu(self.conv2(x)))).transpose(1, 2)
        turn, mask = turning(x), within(x, states(samples))
        for layer in self.layers:
            x = layer(x, turn, mask)
        out: Tensor = self.layer_norm(x)
        return out

    def _levelled(self, x: Tensor, length: Tensor) -> Tensor:
        """The group norm over the sound alone, not over the silence that fills the batch."""
        valid = (torch.arange(x.shape[2], device=x.device) < length[:, None])[:, None]
        x = x.float() * valid
        count = length[:, None, None] * WIDTH
        mean = x.sum((1, 2), keepdim=True) / count
        spread = ((x - mean) ** 2 * valid).sum((1, 2), keepdim=True) / count
        x = (x - mean) * torch.rsqrt(spread + self.groupnorm.eps) * valid
        return x * self.groupnorm.weight[:, None] + self.groupnorm.bias[:, None]


def states(samples: Tensor) -> Tensor:
    """How many states the encoder makes of so many samples."""
    first = (samples - 127) // 64 + 1
    second = (first - 7) // 3 + 1
    return (second - 3) // 2 + 1


def turning(x: Tensor) -> tuple[Tensor, Tensor]:
    """Cosine and sine of the angle by which each pair of numbers is turned at each place."""
    step = 1.0 / 10_000 ** (torch.arange(0, TURNED, 2, device=x.device).float() / TURNED)
    angle = torch.outer(torch.arange(x.shape[1], device=x.device).float(), step)
    angle = angle.repeat_interleave(2, -1)
    return angle.cos().to(x.dtype), angle.sin().to(x.dtype)


def within(x: Tensor, length: Tensor) -> Tensor:
    """A mask of the states that belong to each sound of the batch."""
    return (torch.arange(x.shape[1], device=x.device) < length[:, None])[:, None, None]


def _turned(x: Tensor, turn: tuple[Tensor, Tensor]) -> Tensor:
    cosine, sine = turn
    part, rest = x[..., :TURNED], x[..., TURNED:]
    across = torch.stack((-part[..., 1::2], part[..., 0::2]), -1).flatten(-2)
    return torch.cat((part * cosine + across * sine, rest), -1)
