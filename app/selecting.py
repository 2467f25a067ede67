"""What is pointed at and what is selected: one for all views, with one signal.

Views ask for what they show (`lit`) and say what hands do; nothing here is kept in the design or
undone.
"""

from typing import Final

from PySide6.QtCore import QObject, Signal

from core.pipeline import Results
from core.rows.build import Rows
from core.rows.selection import (
    Place,
    Selection,
    between,
    one_stitch,
    repeat_at,
    stepped,
    whole_rows,
    within,
)

NOTHING: Final = (-1, -1)


class Selecting(QObject):
    """Holds what is pointed at and what is selected."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._results: Results | None = None
        self._pointed: Selection | None = None
        self._chosen: Selection | None = None

    @property
    def results(self) -> Results | None:
        """The results whose stitches are spoken of."""
        return self._results

    @property
    def pointed(self) -> Selection | None:
        """What a pointer is on; it goes when the pointer goes."""
        return self._pointed

    @property
    def chosen(self) -> Selection | None:
        """What is selected; it stays until another click or Escape."""
        return self._chosen

    def show_results(self, results: Results) -> None:
        """Keep what there still is in these results."""
        changed = self._results is None or self._results.rows is not results.rows
        self._results = results
        if changed and (self._pointed or self._chosen):
            pointed, chosen = (
                within(old, results.rows) if old is not None else None
                for old in (self._pointed, self._chosen)
            )
            self._set(pointed, chosen)

    # pointing

    def point(self, row: int, stitch: int) -> None:
        """Point at a stitch; -1 points at nothing."""
        self.point_at(one_stitch((row, stitch)) if self._is_there((row, stitch)) else None)

    def point_rows(self, first: int, last: int) -> None:
        """Point at rows; a first row of -1 points at nothing."""
        rows = self._rows()
        if rows is None or first < 0:
            self.point_at(None)
            return
        self.point_at(whole_rows(rows, first, min(max(last, first), rows.drawn_rows)))

    def point_at(self, what: Selection | None) -> None:
        """Point at any stitches."""
        self._set(what, self._chosen)

    # choosing

    def choose(self, what: Selection | None) -> None:
        """Select any stitches, or nothing."""
        self._set(self._pointed, what)

    def click(self, place: Place, *, extend: bool = False) -> None:
        """Select a stitch, or all from where selecting began to it; off the blanket, nothing."""
        rows = self._rows()
        if rows is None or not self._is_there(place):
            self.choose(None)
        elif extend and self._chosen is not None:
            self.choose(between(rows, self._chosen.anchor, place))
        else:
            self.choose(one_stitch(place))

    def choose_row(self, row: int, *, extend: bool = False) -> None:
        """Select a row from edge to edge, or all rows from where selecting began to it."""
        rows = self._rows()
        if rows is None or not 0 <= row <= rows.drawn_rows:
            return
        first = self._chosen.anchor[0] if extend and self._chosen is not None else row
        self.choose(whole_rows(rows, min(first, row), max(first, row)))

    def choose_repeat(self, place: Place) -> bool:
        """Select the repeat that a stitch belongs to; return whether it belongs to one."""
        rows = self._rows()
        found = repeat_at(rows, place) if rows is not None and self._is_there(place) else None
        if found is not None:
            self.choose(found)
        return found is not None

    def step(self, right: int, up: int, *, extend: bool = False) -> None:
        """Go from stitch to stitch: along the row, or up and down from kin to kin."""
        rows = self._rows()
        if rows is None or self._chosen is None:
            return
        head = stepped(rows, self._chosen.head, right, up)
        self._go(head, extend=extend)

    def to_edge(self, right: int, *, extend: bool = False) -> None:
        """Go to the left (-1) or right (1) end of the row."""
        rows = self._rows()
        if rows is None or self._chosen is None:
            return
        row = self._chosen.head[0]
        self._go((row, rows.makes(row) - 1 if right > 0 else 0), extend=extend)

    def to_row(self, row: int, *, extend: bool = False) -> None:
        """Go to the same share of another row."""
        rows = self._rows()
        if rows is None or self._chosen is None:
            return
        old, stitch = self._chosen.head
        row = min(max(row, 0), rows.drawn_rows)
        share = stitch / max(rows.makes(old) - 1, 1)
        self._go((row, round(share * (rows.makes(row) - 1))), extend=extend)

    def clear(self) -> bool:
        """Select nothing; return whether anything was selected."""
        was = self._chosen is not None
        self.choose(None)
        return was

    def _go(self, head: Place, *, extend: bool) -> None:
        assert self._chosen is not None
        if extend:
            self.click(head, extend=True)
        else:
            self.choose(one_stitch(head))

    def _rows(self) -> Rows | None:
        return self._results.rows if self._results is not None else None

    def _is_there(self, place: Place) -> bool:
        rows, (row, stitch) = self._rows(), place
        return rows is not None and 0 <= row <= rows.drawn_rows and 0 <= stitch < rows.makes(row)

    def _set(self, pointed: Selection | None, chosen: Selection | None) -> None:
        if (pointed, chosen) != (self._pointed, self._chosen):
            self._pointed, self._chosen = pointed, chosen
            self.changed.emit()
