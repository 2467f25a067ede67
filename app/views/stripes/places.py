"""Where stripes lie on the strip: rows to pixels and back."""

from bisect import bisect_left
from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import QRectF

from app.painting.chart import Placing
from core.design.document import Stripes
from core.fabric.sheet import Fabric
from core.stripes.sequence import Worked, worked_stripes

GRIP_PX = 5
GUTTER_PX = 14
_RIGHT_PX = 4


class Places:
    """The stripes of a blanket on the strip's height."""

    def __init__(self) -> None:
        self.worked: tuple[Worked, ...] = ()
        self.own = 0
        self.width = 76
        self.placing = Placing(1.0, 0.0, 0.0)
        self._borders_mm = np.zeros(1)

    def show(self, stripes: Stripes, n_rows: int, fabric: Fabric) -> None:
        """Take the stripes of so many rows, which end where the fabric's right edge has them."""
        self.worked = worked_stripes(stripes, n_rows)
        self.own = min(len(stripes.sequence), len(self.worked))
        tops = fabric.tops_mm[fabric.starts[1:] - 1, 1]
        self._borders_mm = np.maximum.accumulate(tops)

    def y(self, row: int) -> float:
        """Return where the top of a row lies; row 0 is the foundation."""
        row = min(max(row, 0), len(self._borders_mm) - 1)
        return self.placing.y - self.placing.scale * float(self._borders_mm[row])

    def rect(self, worked: Worked) -> QRectF:
        """Return a stripe's place."""
        top, bottom = self.y(worked.last), self.y(worked.first - 1)
        return QRectF(GUTTER_PX, top, self.width - GUTTER_PX - _RIGHT_PX, bottom - top)

    def nearest_border(self, y: float) -> int:
        """Return the row whose top is nearest to a height."""
        tops = self.placing.y - self.placing.scale * self._borders_mm
        return int(np.argmin(np.abs(tops - y)))

    def stripe_at(self, y: float) -> Worked | None:
        """Return the stripe at a height, the nearest one beyond the ends."""
        y_mm = (self.placing.y - y) / self.placing.scale
        row = int(np.searchsorted(self._borders_mm, y_mm, side="left"))
        row = min(max(row, 1), max(len(self._borders_mm) - 1, 1))
        return next((s for s in self.worked if s.first <= row <= s.last), None)

    def between(self, top: float, bottom: float) -> Iterator[tuple[int, Worked]]:
        """Return the stripes that reach between two heights, with their numbers."""
        now = self.placing
        low, high = ((now.y - y) / now.scale for y in (bottom + 1.0, top - 1.0))
        first = int(np.searchsorted(self._borders_mm, low, side="left"))
        last = int(np.searchsorted(self._borders_mm, high, side="left"))
        begin = bisect_left(self.worked, first, key=lambda stripe: stripe.last)
        for number in range(begin, len(self.worked)):
            if self.worked[number].first > last:
                return
            yield number, self.worked[number]

    def is_beyond(self, y: float) -> bool:
        """Return whether a height lies above the last stripe or under the first."""
        return not self.y(len(self._borders_mm) - 1) <= y <= self.y(0)

    def is_echo(self, number: int) -> bool:
        """Return whether a worked stripe is the sequence going on by itself."""
        return number >= self.own

    def border_at(self, y: float) -> int | None:
        """Return the number of the stripe of the sequence whose upper border is near."""
        for number in range(self.own):
            if abs(self.y(self.worked[number].last) - y) <= GRIP_PX:
                return number
        return None

    def gap_at(self, y: float) -> int:
        """Return the number of the stripe before which something dropped here would go."""
        return sum(self.rect(worked).center().y() > y for worked in self.worked[: self.own])

    def gap_y(self, gap: int) -> float:
        """Return where a gap between stripes lies."""
        if gap < len(self.worked):
            return self.y(self.worked[gap].first - 1)
        return self.y(self.worked[-1].last) if self.worked else 0.0

    def own_between(self, one_y: float, other_y: float) -> list[int]:
        """Return the stripes of the sequence that reach between two heights."""
        low, high = max(one_y, other_y), min(one_y, other_y)
        return [
            number
            for number in range(self.own)
            if self.y(self.worked[number].first - 1) > high
            and self.y(self.worked[number].last) < low
        ]
