"""Which stripes are chosen: one that keys point at, others with it."""

from collections.abc import Iterable


class Choice:
    """Numbers of chosen stripes; `current` is what keys point at, `anchor` where a range began."""

    def __init__(self) -> None:
        self.current = 0
        self.anchor = 0
        self.numbers: frozenset[int] = frozenset({0})

    def only(self, number: int) -> None:
        """Choose one stripe."""
        self.current = self.anchor = number
        self.numbers = frozenset({number})

    def toggle(self, number: int) -> None:
        """Choose one more, or one less; one stays chosen."""
        self.current = self.anchor = number
        changed = self.numbers ^ {number}
        self.numbers = changed or frozenset({number})
        if number not in self.numbers:
            self.current = self.anchor = min(self.numbers, key=lambda n: abs(n - number))

    def reach(self, number: int) -> None:
        """Choose all from the anchor to a stripe."""
        self.current = number
        low, high = sorted((self.anchor, number))
        self.numbers = frozenset(range(low, high + 1))

    def point(self, number: int) -> None:
        """Point at a stripe and leave what is chosen."""
        self.current = number

    def these(self, numbers: Iterable[int]) -> None:
        """Choose these, if there are any."""
        chosen = frozenset(numbers)
        if chosen:
            self.numbers = chosen
            self.current = self.current if self.current in chosen else min(chosen)
            self.anchor = self.current

    def clip(self, count: int) -> None:
        """Forget stripes that there are no more."""
        self.current = min(self.current, count - 1)
        self.anchor = min(self.anchor, count - 1)
        left = frozenset(number for number in self.numbers if number < count)
        self.numbers = left or frozenset({self.current})
