"""What the ear is taught by.

The letters: connectionist temporal classification (Graves et al. 2006). The encoder: not to go
far from what the untouched one says of the clean voice, so that it forgets none of the people it
has heard. Near the end: the phrase against its rivals, as the search will weigh them (in the
manner of maximum mutual information, Bahl et al. 1986).
"""

from collections.abc import Sequence

import torch
from torch import Tensor
from torch.nn import functional

from training.ear import BLANK


def letters(scores: Tensor, states: Tensor, targets: Sequence[Tensor]) -> Tensor:
    """For each clip, minus the logarithm of the probability of its text."""
    lengths = torch.tensor([len(t) for t in targets], device=scores.device)
    joined = torch.cat(list(targets)).to(scores.device)
    return functional.ctc_loss(
        scores.transpose(0, 1), joined, states, lengths, BLANK, reduction="none", zero_infinity=True
    )


def distance(heard: Tensor, taught: Tensor, states: Tensor) -> Tensor:
    """The mean squared distance between two encoders' states, over the sound alone."""
    inside = torch.arange(heard.shape[1], device=heard.device) < states[:, None]
    squared = ((heard.float() - taught.float()) ** 2).mean(-1)
    return (squared * inside).sum() / inside.sum()


def against_rivals(
    scores: Tensor,
    states: Tensor,
    right: Tensor,
    rivals: Sequence[Sequence[Tensor]],
    margin: float = 0.0,
) -> Tensor:
    """For each clip, minus the logarithm of the text's share among its rivals and itself.

    ``right`` is what ``letters`` gave for the texts; each clip has equally many rivals. With a
    ``margin`` rivals count as so many nats likelier (Povey et al. 2008), and so fall behind more.
    """
    count = len(rivals[0])
    many = scores.repeat_interleave(count, 0)
    flat = [rival for of_clip in rivals for rival in of_clip]
    wrong = letters(many, states.repeat_interleave(count), flat).reshape(-1, count)
    wrong = torch.where(wrong == 0, torch.inf, wrong)
    all_of_them = torch.cat((-right[:, None], margin - wrong), 1)
    return right + torch.logsumexp(all_of_them, 1)
