"""The second colourway: the same stripes with the yarns changed about, side by side."""

from functools import partial
from textwrap import wrap

from PySide6.QtWidgets import QWidget

from app.computing import ShouldStop
from app.theme import Theme
from app.views.stripes.chooser import AT_A_TIME, Candidate, Find, OrderDialog, Orders
from core.design.document import Design
from core.pipeline import Results
from core.stripes.twin import colourways, in_colourway

_SIGNS = 20  # in a line under a picture
_NONE = "These stripes have one yarn only: give some of them another, then change them about."


class TwinDialog(OrderDialog):
    """Shows colourways; one can be taken."""

    def __init__(self, results: Results, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Make a second colourway", results, theme, parent)
        self.use.setText("&Use this colourway")
        self.gallery.setAccessibleName("Colourways to choose from")
        self.ask()
        self.gallery.setFocus()

    def finder(self, first: int) -> Find:
        """Return what finds six colourways from number `first` on."""
        return partial(_found, first=first)


def _found(design: Design, should_stop: ShouldStop, *, first: int) -> Orders:
    del should_stop
    ways = colourways(design, first, AT_A_TIME)
    candidates = tuple(
        Candidate(
            in_colourway(design, way),
            "\n".join(wrap(way.name, _SIGNS)),
            "Make a second colourway",
            partial(in_colourway, way=way),
        )
        for way in ways
    )
    return Orders(candidates, "" if candidates or first else _NONE)
