"""The figures beside the wave: what is there for each kind of wave, and what each one does."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from app.views.wave_band import WaveBand
from app.views.wave_controls import WaveControls
from core.design.document import Turning
from core.design.edits import set_values
from core.pipeline import Pipeline
from core.rows.starters import starter
from core.rows.waves import FAMILIES, HeightShape, edge_kinds, shape_of

FAMILY = {family.key: family for family in FAMILIES}
BAND_HEIGHT = 176  # of the strip under chart and fabric at 1366 x 768


class Desk:
    """Controls and band over one design; wishes are carried out at once."""

    def __init__(self, design, theme, qtbot):
        self.design, self.steps = design, []
        self.controls, self.band = WaveControls(theme), WaveBand(theme)
        self._pipeline = Pipeline()
        for view in (self.controls, self.band):
            qtbot.addWidget(view)
            view.wish.connect(self.do)
        self.band.resize(800, BAND_HEIGHT)
        self.controls.show()
        self.band.show()
        self.show()

    def show(self):
        self.results = self._pipeline.results(self.design)
        self.controls.show_results(self.results)
        self.band.show_results(self.results)

    def do(self, text, edit, gesture):
        self.design = edit(self.design)
        self.steps.append(text)
        self.show()
        assert self.results.rows.misfit is None

    def choose(self, field, key):
        field.setCurrentIndex(field.findData(key))
        field.activated.emit(field.currentIndex())

    @property
    def shape(self):
        return shape_of(self.design.wave)

    def there(self):
        """Return the names of the fields that can be seen."""
        return {
            name.lstrip("_")
            for name, widget in vars(self.controls).items()
            if isinstance(widget, QWidget) and widget.isVisible()
        }


@pytest.fixture
def desk(theme, qtbot):
    def make(key):
        return Desk(starter(FAMILY[key]), theme, qtbot)

    return make


@pytest.mark.parametrize("key", sorted(FAMILY))
def test_every_family_is_known_and_its_controls_fit_the_band(desk, qapp, key):
    controls = desk(key).controls
    qapp.processEvents()  # fields that have gone give up their room
    assert controls._family.currentData() == key
    assert controls.sizeHint().height() <= BAND_HEIGHT
    assert controls.sizeHint().width() <= 460


def test_only_what_applies_is_there(desk):
    always = {"family", "every", "left", "right"}
    ripple = {"runs_box", "gain", "dips", "swap", "slant"}
    assert desk("gentle").there() == always | ripple
    assert desk("double").there() == always | ripple - {"swap", "slant"}
    assert desk("heights").there() == always | {"length", "alike", "low", "high"}


def test_longer_runs_can_keep_their_side_if_runs_differ(desk):
    at = desk("gentle")
    at.controls._runs[0].setValue(6)
    assert "sides" in at.there()
    at.choose(at.controls._sides, "keep")
    assert len(at.design.wave.cycle) == 2
    assert at.controls._sides.currentData() == "keep"


def test_every_second_row_shaped_puts_plain_rows_between(desk):
    at = desk("gentle")
    at.choose(at.controls._every, "2")
    assert len(at.design.wave.cycle) == 2
    assert at.steps == ["Change shaped rows"]


def test_peaks_and_dips_swap_after_some_rows_and_never_again(desk):
    at = desk("gentle")
    assert at.controls._swap.text() == "never"
    at.controls._swap.setValue(8)
    assert at.shape.rhythm.swap_after == 8
    at.controls._swap.setValue(0)
    assert at.design.wave.cycle is None


def test_more_rows_to_a_swap_than_can_be_had_are_put_back(desk):
    at = desk("gentle")
    at.controls._swap.setValue(50)
    assert at.shape.rhythm.swap_after == at.controls._swap.value() == 12


def test_crests_slant_to_the_side_that_is_said(desk):
    at = desk("gentle")
    words = at.controls._slant.itemText(at.controls._slant.findData("1"))
    assert words == "1 to the left"  # a right-hander's row 1 starts at the right edge
    at.choose(at.controls._slant, "1")
    assert len(at.design.wave.cycle) == 12
    at.design = set_values(at.design, hand="left")
    at.show()
    assert at.controls._slant.currentText() == "1 to the right"


def test_each_edge_cuts_what_is_chosen_for_it(desk):
    at = desk("gentle")
    at.choose(at.controls._left, "dip")
    assert edge_kinds(at.shape) == ("peak", "dip")  # row 1 starts at the right
    assert at.controls._right.currentData() == "peak"
    at.choose(at.controls._right, "dip")
    assert edge_kinds(at.shape) == ("dip", "dip")
    assert at.design.wave.cycle is None


def test_a_straight_edge_goes_with_another(desk):
    at = desk("pointed")
    at.choose(at.controls._left, "straight")
    assert at.controls._right.currentData() == "straight"
    at.choose(at.controls._right, "dip")
    assert edge_kinds(at.shape) == ("dip", "dip")


def test_dips_are_joined_or_skipped_as_chosen(desk):
    at = desk("gentle")
    at.choose(at.controls._dips, "skipped")
    assert at.shape.turns[0].items[0].skip == 2
    at.choose(at.controls._dips, "joined")
    assert at.shape.turns[0].items[0].over == 2


def test_a_family_keeps_edges_and_runs_of_the_one_before(desk):
    at = desk("gentle")
    at.choose(at.controls._left, "dip")
    at.choose(at.controls._right, "dip")
    at.choose(at.controls._family, "double")
    assert edge_kinds(at.shape) == ("dip", "dip")
    assert at.shape.runs == (3, 3)


def test_stitch_heights_bring_their_own_turning_chain_and_take_it_away(desk):
    at = desk("gentle")
    at.choose(at.controls._family, "heights")
    assert isinstance(at.shape, HeightShape)
    assert at.design.turning == Turning(1, False)
    at.choose(at.controls._family, "pointed")
    assert at.design.turning == Turning(3, True)


def test_heights_length_and_rows_alike_are_edited(desk):
    at = desk("heights")
    at.choose(at.controls._high, "dc")
    at.controls._length.setValue(14)
    at.choose(at.controls._left, "dip")
    at.controls._alike.setValue(2)
    shape = at.shape
    assert (shape.high, shape.length, shape.far, shape.rhythm.swap_after) == ("dc", 14, "dip", 2)
    assert len(at.design.wave.cycle) == 4


def test_heights_are_named_in_the_terms_of_the_pattern(desk):
    at = desk("heights")
    at.design = set_values(at.design, terms="UK")
    at.show()
    assert at.controls._low.currentText() == "dc"
    assert at.controls._high.currentText() == "dtr"


# --- the band goes on working ----------------------------------------------------------------


@pytest.mark.parametrize("key", sorted(FAMILY))
def test_every_family_can_be_taken_hold_of(desk, key):
    at = desk(key)
    kinds = {mark.kind for mark in at.band._marks()}
    assert {"peak", "dip"} <= kinds
    number = next(n for n, mark in enumerate(at.band._marks()) if mark.kind == "peak")
    at.band._choose(number)
    before = at.design
    QTest.keyClick(at.band, Qt.Key.Key_Up)
    assert at.design != before


def test_dragging_a_run_of_a_swapping_wave_changes_every_row(desk):
    at = desk("gentle")
    at.controls._swap.setValue(4)
    number, mark = next((n, m) for n, m in enumerate(at.band._marks()) if m.kind == "run")
    start = at.band._at(mark, at.band._placing()).toPoint()
    QTest.mousePress(at.band, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
    QTest.mouseMove(at.band, start - QPoint(0, 28))
    QTest.mouseRelease(at.band, Qt.MouseButton.LeftButton)
    del number
    assert len(at.design.wave.cycle) == 8
    assert sorted(at.shape.runs) == [3, 5]
    assert {row.uses(2) for row in at.design.wave.cycle} == {14 * 3}


def test_a_taller_peak_is_pulled_up(desk):
    at = desk("heights")
    number = next(n for n, mark in enumerate(at.band._marks()) if mark.kind == "peak")
    at.band._choose(number)
    assert at.band.accessibleDescription() == "Peak: 2 tr"
    QTest.keyClick(at.band, Qt.Key.Key_Up)
    assert at.shape.high == "dtr"
