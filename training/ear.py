"""The ear: the encoder, two more layers, and a letter for each state.

Connectionist temporal classification: Graves et al. 2006.
"""

from torch import Tensor, nn

from training.encoder import WIDTH, Encoder, Layer, states, turning, within

#: What a state may stand for: nothing new, a space, a letter, or an apostrophe.
LETTERS = "_ abcdefghijklmnopqrstuvwxyz'"
BLANK = 0
_NUMBER = {letter: number for number, letter in enumerate(LETTERS)}


class Ear(nn.Module):
    """Sound in; the encoder's states and the letters' scores out."""

    def __init__(self) -> None:
        super().__init__()
        self.enc = Encoder()
        self.top = nn.ModuleList(Layer() for _ in range(2))
        self.norm = nn.LayerNorm(WIDTH, bias=False)
        self.head = nn.Linear(WIDTH, len(LETTERS))
        self.drop = nn.Dropout(0.1)

    def forward(self, sound: Tensor, samples: Tensor) -> tuple[Tensor, Tensor]:
        """States and scores of a batch of sounds, each ``samples`` long."""
        heard = self.enc(sound, samples)
        turn, mask = turning(heard), within(heard, states(samples))
        x = self.drop(heard)
        for layer in self.top:
            x = layer(x, turn, mask)
        return heard, self.head(self.norm(x))


def spelled(text: str) -> list[int]:
    """The letters of a text as numbers; other signs are left out."""
    return [_NUMBER[c] for c in text.lower() if c in _NUMBER and c != LETTERS[BLANK]]


def read_off(scores: Tensor) -> str:
    """The text of the best letter of each state: repeats are one, blanks are none."""
    best = scores.argmax(-1).tolist()
    fresh = [n for before, n in zip([BLANK, *best], best, strict=False) if n != before]
    return "".join(LETTERS[n] for n in fresh if n != BLANK)
