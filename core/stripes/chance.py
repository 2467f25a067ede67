"""Chance that can be had again: the same seed gives the same numbers, in every version.

The generator is PCG32 (O'Neill 2014, pcg-random.org): 64 bits of state, 32 of output. It is
written out here because a library's may change between versions, and with it every stripe
order that was found by it.
"""

from collections.abc import Sequence
from typing import Final, TypeVar

_Value = TypeVar("_Value")
_STEP: Final = 6364136223846793005
_MASK: Final = (1 << 64) - 1
_STREAM: Final = 54


class Chance:
    """A row of numbers that a seed stands for."""

    def __init__(self, seed: int, stream: int = _STREAM) -> None:
        self._odd = ((stream << 1) | 1) & _MASK
        self._state = self._odd
        self._state = ((self._state + seed) * _STEP + self._odd) & _MASK

    def number(self) -> int:
        """Return the next number, 0 to 2**32 - 1."""
        state = self._state
        self._state = (state * _STEP + self._odd) & _MASK
        mixed = (((state >> 18) ^ state) >> 27) & 0xFFFFFFFF
        turn = state >> 59
        return ((mixed >> turn) | (mixed << (32 - turn))) & 0xFFFFFFFF

    def below(self, bound: int) -> int:
        """Return the next number from 0 to `bound` - 1, each as likely as the others."""
        uneven = (1 << 32) % bound
        while True:
            number = self.number()
            if number >= uneven:
                return number % bound

    def one_of(self, values: Sequence[_Value]) -> _Value:
        """Return one of the values."""
        return values[self.below(len(values))]

    def shuffled(self, values: Sequence[_Value]) -> list[_Value]:
        """Return the values in another order, each order as likely as the others."""
        found = list(values)
        for last in range(len(found) - 1, 0, -1):
            other = self.below(last + 1)
            found[last], found[other] = found[other], found[last]
        return found
