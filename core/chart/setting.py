"""Sets what stands around a chart: numbers, arrows, bracket, scale, title, key, caption."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from core.chart.key import KeyEntry
from core.chart.keysheet import Set, set_key
from core.chart.labels import RowLabel
from core.chart.layout import Chart
from core.chart.lettering import broken, width_of
from core.chart.symbols import Floats
from core.chart.words import Anchor, Text
from core.words.vocabulary import Vocabulary

Measure = tuple[float, str]
"""Length of a scale's bar in the chart's mm, and what it is called."""

TITLE: Final = 4.8  # type sizes in print, mm
NUMBERS: Final = 3.0
STAMP: Final = 5.6
WORDS: Final = 2.9
SMALL: Final = 2.5
ARROW: Final = 3.4
AFTER_ARROW: Final = 1.0  # mm in print
PER_ARROW: Final = 3  # lines
BETWEEN: Final = 0.9  # number, side and letter
MARGIN: Final = 3.0


def pieces_of(
    label: RowLabel, letter: str, words: Vocabulary, *, sides: bool
) -> list[tuple[str, float, bool]]:
    """Return what stands at a row's start: text, type size in print, whether it is bold."""
    pieces = [(str(label.row), NUMBERS, True)]
    if sides:
        pieces.append((words.say("RS" if label.row % 2 else "WS"), SMALL, False))
    if letter:
        pieces.append((letter, NUMBERS, False))
    return pieces


class Setting:
    """What stands around a chart while it is being set; grows downwards and upwards."""

    def __init__(
        self,
        chart: Chart,
        mm: float,
        low: Floats,
        high: Floats,
        print_mm: float | None,
        words: Vocabulary,
    ) -> None:
        self._chart, self._mm, self._words = chart, mm, words
        self._left, self._right = float(low[0]), float(high[0])
        self._bottom, self._top = float(low[1]), float(high[1])
        self._middle = 0.5 * (self._left + self._right)
        self._print_mm = print_mm
        self.texts: list[Text] = []
        self.lines: list[Floats] = []
        self.key = Set([], [], [], [])

    @property
    def _page(self) -> tuple[float, float]:
        """Left and right of what words may fill."""
        if self._print_mm is None:
            return self._left, self._right
        half = 0.5 * (self._print_mm - 2 * MARGIN) * self._mm
        return min(self._middle - half, self._left), max(self._middle + half, self._right)

    def bounds(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top, margins included."""
        margin = MARGIN * self._mm
        left, right = self._page
        return left - margin, self._bottom - margin, right + margin, self._top + margin

    def number_rows(self, letters: dict[int, str], *, sides: bool) -> None:
        """Set row numbers, arrows, sides and yarn letters where the rows start."""
        mm = self._mm
        for label in self._chart.labels:
            quiet = label.row == self._chart.quiet
            x = self._number(label, letters.get(label.row, ""), sides=sides, quiet=quiet)
            if not quiet:
                self.lines.append(_arrow(label, ARROW * mm))
            self._left, self._right = min(self._left, x), max(self._right, x)
            self._top = max(self._top, label.y_mm + 0.7 * NUMBERS * mm)
            self._bottom = min(self._bottom, label.y_mm - 0.7 * NUMBERS * mm)

    def _number(self, label: RowLabel, letter: str, *, sides: bool, quiet: bool) -> float:
        """Set one row's number and what belongs to it; return how far out it goes."""
        mm, side = self._mm, 1.0 if label.runs_left else -1.0
        anchor: Anchor = "start" if label.runs_left else "end"
        x = label.x_mm + side * (ARROW + AFTER_ARROW) * mm
        for text, size, bold in pieces_of(label, letter, self._words, sides=sides and not quiet):
            self.texts.append(
                Text(x, label.y_mm, size * mm, text, anchor, bold, label.row, "numbers", quiet)
            )
            x += side * (width_of(text, size, bold=bold) + BETWEEN) * mm
        return x

    def mark_repeat(self) -> None:
        """Set the bracket and what the repeat uses."""
        mark, mm = self._chart.repeat, self._mm
        if mark is None:
            return
        y = min(mark.y_mm, self._bottom - 2.8 * mm)
        self.lines.append(_bracket(mark.left_mm, mark.right_mm, y, 1.4 * mm))
        middle = 0.5 * (mark.left_mm + mark.right_mm)
        words = self._words.say("repeat mark", n=mark.stitches)
        self.texts.append(Text(middle, y - 2.4 * mm, WORDS * mm, words, "middle", layer="marks"))
        self._bottom = y - 4.2 * mm

    def measure(self, scale: Measure) -> None:
        """Set the scale's bar: beside the repeat's bracket, or below where there is no room."""
        mm = self._mm
        length, words = scale
        room = max(length, width_of(words, SMALL * mm)) + 5 * mm
        left, right = self._page
        mark = self._chart.repeat
        y = self._bottom - 4.0 * mm
        at_right = True
        if mark is not None:
            middle = 0.5 * (mark.left_mm + mark.right_mm)
            taken = min(mark.left_mm, middle - 15 * mm), max(mark.right_mm, middle + 15 * mm)
            if right - taken[1] > room or taken[0] - left > room:
                at_right = right - taken[1] > room
                y = self._bottom + 4.2 * mm
        near, far = (right - length, right) if at_right else (left, left + length)
        tick = 0.9 * mm
        bar = [[(near, y), (far, y)]]
        bar += [[(x, y - tick), (x, y + tick)] for x in (near, far)]
        self.lines.append(np.array(bar, dtype=float))
        anchor: Anchor = "end" if at_right else "start"
        x = far if at_right else near
        self.texts.append(Text(x, y - 2.6 * mm, SMALL * mm, words, anchor, layer="marks"))
        self._bottom = min(self._bottom, y - 4.2 * mm)

    def head(self, title: str) -> None:
        """Set the title above everything."""
        mm = self._mm
        left, right = self._page
        lines = broken(title, TITLE * mm, right - left, bold=True)
        self._top += 3.0 * mm
        for line in reversed(lines):
            self._top += 1.25 * TITLE * mm
            y = self._top - 0.6 * TITLE * mm
            self.texts.append(Text(left, y, TITLE * mm, line, "start", True, layer="words"))

    def stamp(self, word: str) -> None:
        """Set a word in a box at the top right, above everything."""
        mm, (_, right) = self._mm, self._page
        size, high = STAMP * mm, 1.8 * STAMP * mm
        wide = width_of(word, size, bold=True) + 1.4 * size
        bottom = self._top + 2.0 * mm
        left, top = right - wide, bottom + high
        corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
        box = [[corners[n], corners[(n + 1) % 4]] for n in range(4)]
        self.lines.append(np.array(box, dtype=float))
        middle = 0.5 * (left + right), 0.5 * (bottom + top)
        self.texts.append(Text(*middle, size, word, "middle", True, layer="words"))
        self._top = top

    def add_key(self, entries: Sequence[KeyEntry], yarns: Sequence[tuple[str, str]]) -> None:
        """Set the key below what is there."""
        left, right = self._page
        top = self._bottom - 3.0 * self._mm
        self.key = set_key(
            entries,
            yarns,
            left=left,
            right=right,
            top=top,
            mm=self._mm,
            stitch_mm=self._chart.width_mm,
            words=self._words,
        )
        self.texts += self.key.texts
        self._bottom = self.key.bottom

    def foot(self, line: str) -> None:
        """Set a line of the caption below what is there."""
        mm = self._mm
        left, right = self._page
        self._bottom -= 1.0 * mm
        for piece in broken(line, SMALL * mm, right - left):
            self._bottom -= 1.35 * SMALL * mm
            y = self._bottom + 0.6 * SMALL * mm
            self.texts.append(Text(left, y, SMALL * mm, piece, "start", layer="words"))


def _arrow(label: RowLabel, long: float) -> Floats:
    """Return an arrow between a row and its number, pointing the way the row is worked."""
    tip = np.array([[label.x_mm, label.y_mm]])
    return arrows(tip, np.array([1.0 if label.runs_left else -1.0]), long)


def arrows(tips: Floats, sides: Floats, long: float) -> Floats:
    """Return arrows between rows and their numbers, each a shaft and two barbs.

    Args:
        tips: Where they point, shape (n, 2).
        sides: 1 where the number stands to the right, -1 where to the left, shape (n,).
        long: Their length.

    Returns:
        Lines, shape (PER_ARROW * n, 2, 2).
    """
    shape = np.array([[0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.3, 0.2], [0.0, 0.0, 0.3, -0.2]])
    reach = np.stack([sides, np.ones(len(sides))], axis=1) * long
    lines = tips[:, None, None] + shape.reshape(1, PER_ARROW, 2, 2) * reach[:, None, None]
    flat: Floats = lines.reshape(-1, 2, 2)
    return flat


def _bracket(left: float, right: float, y: float, height: float) -> Floats:
    up = y + height
    return np.array(
        [[(left, up), (left, y)], [(left, y), (right, y)], [(right, y), (right, up)]], dtype=float
    )
