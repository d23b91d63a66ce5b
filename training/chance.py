"""Chance on the accelerator, from a seed."""

from dataclasses import dataclass

import torch
from torch import Tensor


@dataclass(frozen=True, slots=True)
class Chance:
    """Random numbers on a device."""

    generator: torch.Generator

    @classmethod
    def seeded(cls, seed: int, device: str) -> "Chance":
        """The same numbers for the same seed."""
        return cls(torch.Generator(device=device).manual_seed(seed))

    @property
    def device(self) -> torch.device:
        """Where the numbers are made."""
        return self.generator.device

    def between(self, low: float, high: float, *size: int) -> Tensor:
        """Numbers spread evenly."""
        return torch.rand(*size, device=self.device, generator=self.generator) * (high - low) + low

    def normal(self, *size: int) -> Tensor:
        """Numbers of a normal distribution."""
        return torch.randn(*size, device=self.device, generator=self.generator)

    def happens(self, share: float, *size: int) -> Tensor:
        """True in this share of cases."""
        return torch.rand(*size, device=self.device, generator=self.generator) < share

    def below(self, count: int, *size: int) -> Tensor:
        """Whole numbers from 0 up to, not including, ``count``."""
        return torch.randint(0, count, size, device=self.device, generator=self.generator)
