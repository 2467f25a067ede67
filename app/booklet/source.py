"""What a booklet is made from, gathered from the other parts of the program in one place."""

from collections.abc import Callable
from functools import cached_property

from PySide6.QtGui import QImage

from core.booklet.closeup import Part
from core.booklet.contents import booklet_of
from core.booklet.measures import Measures, measures_of
from core.booklet.nodes import Booklet
from core.booklet.options import Options
from core.chart.sheet import Sheet
from core.design.document import Design
from core.pipeline import Results
from core.records import Struct
from core.words.pattern import Pattern
from core.words.vocabulary import Vocabulary


class Source(Struct, frozen=True, eq=False, kw_only=True, dict=True):
    """Everything a booklet shows.

    Attributes:
        options: What was chosen.
        origin: The design as it is kept.
        results: The blanket in the hand and size that were chosen, settled.
        pattern: Its written pattern.
        sheet: Its chart extract; None where nothing can be worked.
        fabric: Its picture so many pixels wide, of a part of it or None for the whole.
        family: The font family.
    """

    options: Options
    origin: Design
    results: Results
    pattern: Pattern
    sheet: Sheet | None
    fabric: Callable[[int, Part | None], QImage]
    family: str

    @cached_property
    def booklet(self) -> Booklet:
        """The tree of the chosen edition."""
        return booklet_of(self.results, self.pattern, self.options, origin=self.origin)

    @cached_property
    def measures(self) -> Measures | None:
        """The blanket's measures."""
        return measures_of(self.results, self.words)

    @property
    def words(self) -> Vocabulary:
        """What everything in it is said with."""
        return self.booklet.words
