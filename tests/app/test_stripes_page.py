"""The page of stripes, plans and colourways in the window: by keyboard, in one step each."""

from itertools import pairwise

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit
from some import some

from app.plan_dialog import PlanDialog
from app.twin_dialog import TwinDialog
from core.design.document import Stripe
from core.design.edits import set_sequence, set_size
from core.design.stripe_edits import set_locked
from core.stripes.proposals import was_changed_by_hand

Key, Mods = Qt.Key, Qt.KeyboardModifier


@pytest.fixture
def window(open_window, ripple, qtbot):
    yarns = (*ripple.yarns, replace(ripple.yarns[0], name="Fog", colour="#8a9097"))
    design = set_size(replace(ripple, yarns=yarns), rows=24)
    design = set_sequence(design, (Stripe(0, 4), Stripe(1, 1), Stripe(2, 3), Stripe(1, 1)))
    window = open_window(design, settled=False)
    window.show_page(window.pages.index(window.stripes))
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=20_000)
    return window


@pytest.fixture
def page(window):
    return window.stripes


def opened(window, qtbot, kind):
    """Return the dialog that is open, once it shows what it found."""
    dialog = next(d for d in window.findChildren(kind) if d.isVisible())
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    return dialog


def test_an_edit_of_the_stripes_is_in_every_view_before_the_next_frame(window):
    window.strip.setFocus()
    window.strip.deeds.these([0, 2])
    QTest.keyClick(window.strip, Key.Key_At, Mods.ShiftModifier)
    after = window.session.design
    assert [s.rows for s in after.stripes.sequence] == [2, 1, 2, 1]
    for view in (window.chart, window.fabric, window.strip):
        assert view._results.design is after
    assert window.stripes.round.text() == "6"
    assert window.yarn._results.yarn[0].rows == 8  # 24 rows in rounds of 2-1-2-1


def test_a_stripe_that_keys_point_at_is_brought_into_view(window):
    many = tuple(Stripe(n % 3, 1) for n in range(24))
    window.session.change("Many", lambda d: set_sequence(d, many))
    strip = window.strip
    strip.setFocus()
    for key in (Key.Key_End, Key.Key_Home):
        QTest.keyClick(strip, key)
        rect = strip._rect(strip._worked[strip.chosen])
        assert rect.top() >= 0 and rect.bottom() <= strip.height()


def test_the_page_shows_what_the_strip_has_chosen(window, page):
    window.strip.deeds.these([2])
    assert page._heading.text() == "Stripe 3"
    assert page.yarn.currentData() == "2" and page.rows.value() == 3
    window.strip.deeds.these([1, 3])
    assert page._heading.text() == "2 stripes chosen"
    assert "2 rows in all" in page._said.text()
    page.rows.setFocus()
    page.rows.stepUp()
    page.rows.stepUp()
    assert [s.rows for s in window.session.design.stripes.sequence] == [4, 3, 3, 3]
    assert window.session.undo_stack.count() == 1  # steps of one field are one step


def test_a_stripe_is_named_and_locked_from_the_keyboard(window, page):
    window.strip.choose(1)
    window.strip.setFocus()
    QTest.keyClick(window.strip, Key.Key_F2)
    assert page.label.hasFocus()
    QTest.keyClicks(page.label, "High water")
    QTest.keyClick(page.label, Key.Key_Return)
    assert window.session.design.stripes.sequence[1].label == "High water"
    page.label.setText("")
    page.label.setModified(True)
    page.label.editingFinished.emit()
    assert window.session.design.stripes.sequence[1].label == ""
    page.lock.box.click()
    assert window.session.design.stripes.sequence[1].locked
    assert not page.rows.isEnabled()


def test_totals_that_close_are_one_click_away(window, page):
    # alottastitches.wordpress.com/2011/11/29/a-wintergreen-candy-cane-in-progress:
    # 4, 1, 3, 1 nine times and 4 are 85 rows; a sequence of 9 less or more are 76 and 94.
    page.wish_rows.setFocus()
    page.wish_rows.selectAll()
    QTest.keyClicks(page.wish_rows, "83")
    QTest.keyClick(page.wish_rows, Key.Key_Return)
    lines = [page.totals.item(row).text() for row in range(page.totals.count())]
    assert [line.split()[0].strip("\N{FIGURE SPACE}") for line in lines] == ["76", "85", "94"]
    assert all(" cm" in line for line in lines)
    assert page.totals.currentRow() == 1  # 85 is nearest
    assert window.session.undo_stack.count() == 0
    page.totals.setFocus()
    QTest.keyClick(page.totals, Key.Key_Return)
    assert window.session.design.size.rows == 85
    assert page._closes.text() == "85 rows: the blanket ends as it began."
    yarns = window.live.results.yarn_of_row
    assert yarns[:4].tolist() == yarns[-4:].tolist()
    rise = window.live.results.finished_wave.rise_mm
    shown = float(lines[2].split("cm")[0].split()[-1])
    length = window.live.results.size.length_mm
    assert shown == pytest.approx((length + 9 * rise) / 10, abs=1.5)


def test_the_key_goes_to_the_clipboard(window, page):
    page.key_button.click()
    text = QGuiApplication.clipboard().text()
    assert "   1. Sea, rows 1 to 4" in text and "   2. Sand, row 5" in text
    assert "clipboard" in window.statusBar().currentMessage()


# --- plans ---------------------------------------------------------------------------------


def test_six_orders_are_shown_beside_the_one_there_is_and_one_is_taken_by_keys(window, qtbot):
    before = window.session.design
    window.session.change("Lock", lambda d: set_locked(d, [0], True))
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    assert dialog.gallery.count() == 6
    assert not dialog.now.pixmap().isNull()
    first = dialog.candidates
    dialog.more.click()
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    assert {c.design.stripes.sequence for c in dialog.candidates}.isdisjoint(
        {c.design.stripes.sequence for c in first}
    )
    dialog.back.click()
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    assert [c.design for c in dialog.candidates] == [c.design for c in first]
    dialog.gallery.setFocus()
    QTest.keyClick(dialog.gallery, Key.Key_Right)
    QTest.keyClick(dialog.gallery, Key.Key_Return)
    taken = window.session.design
    assert taken == first[1].design
    assert taken.stripes.sequence[0] == Stripe(0, 4, locked=True)
    assert was_changed_by_hand(taken) is False
    assert window.session.undo_stack.count() == 2
    assert "Planned random" in window.stripes._plan.text()
    window.session.undo_stack.undo()
    window.session.undo_stack.undo()
    assert window.session.design is before


def test_pictures_have_the_colours_of_their_orders_and_one_scale(window, qtbot):
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    sizes = {
        (p.width(), p.height())
        for p in (dialog.gallery.item(n).icon().pixmap(400, 400) for n in range(6))
    }
    assert len(sizes) == 1
    wide, high = sizes.pop()
    fabric = window.live.results.fabric
    left, bottom, right, top = fabric.bounds_mm()
    assert wide / high == pytest.approx((right - left) / (top - bottom), rel=0.03)
    for number in (0, 3):
        image = dialog.gallery.item(number).icon().pixmap(wide, high).toImage()
        yarns = dialog.candidates[number].design.stripes.sequence
        colours = window.session.design.yarns
        lowest = image.pixelColor(wide // 2, high - high // 24)
        near = min(
            range(3),
            key=lambda n: abs(lowest.hueF() - _colour(colours[n]).hueF()),
        )
        assert near == yarns[0].yarn
    dialog.reject()


def _colour(yarn):
    from PySide6.QtGui import QColor

    return QColor(yarn.colour)


def test_rules_that_cannot_be_kept_are_said_and_nothing_is_lost(window, qtbot):
    before = window.session.design
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    form = dialog.form
    form.count.setValue(12)
    form.shares.most[0].setValue(0)
    form.shares.least[0].setValue(9)
    for yarn in (1, 2):
        form.shares.least[yarn].setValue(0)
        form.shares.most[yarn].setValue(0)
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    assert dialog.trouble.text() == (
        "⚠ Sea has to be used 9 times in 12 stripes, but no two may touch: at most 6."
    )
    assert not dialog.use.isEnabled() and dialog.gallery.count() == 0
    form.shares.least[0].setValue(6)
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    assert dialog.gallery.count() == 6 and not dialog.trouble.text()
    for candidate in dialog.candidates:
        yarns = [s.yarn for s in candidate.design.stripes.sequence]
        assert len(yarns) == 12 and yarns.count(0) == 6
        assert all(one != other for one, other in pairwise(yarns))
    form.widths.setText("1, two")
    form.widths.textEdited.emit("1, two")
    qtbot.waitUntil(lambda: bool(form.slip), timeout=5000)
    assert dialog.trouble.text() == '⚠ "two" isn\'t a number of rows from 1 to 5,000.'
    dialog.reject()
    assert window.session.design is before


def test_dates_become_stripes_with_their_names(window, qtbot):
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    form = dialog.form
    form.kind.setCurrentIndex(form.kind.findData("dates"))
    form.kind.activated.emit(form.kind.currentIndex())
    assert form.slip == "" and dialog.form.dates.isVisible()
    form.dates.setPlainText("3 May 2019\n30 February 2020")
    qtbot.waitUntil(lambda: bool(form.slip), timeout=5000)
    assert "isn't a day of the calendar" in dialog.trouble.text()
    form.dates.setPlainText("3 May 2019\n14 July 2021")
    qtbot.waitUntil(lambda: not form.slip and dialog.gallery.count() == 6, timeout=20_000)
    form.fit_rows.box.click()
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    dialog.use.click()
    design = window.session.design
    assert {s.label for s in design.stripes.sequence} == {"3 May 2019", "14 July 2021"}
    assert design.size.rows == design.stripes.rows == sum(map(int, "352019147221"))
    window.stripes.key_button.click()
    assert "3 May 2019: stripes" in QGuiApplication.clipboard().text()


def test_a_fade_fills_the_blanket(window, qtbot):
    window.session.change("Longer", lambda d: set_size(d, rows=90))
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    form = dialog.form
    form.kind.setCurrentIndex(form.kind.findData("fade"))
    form.kind.activated.emit(form.kind.currentIndex())
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    rows = dialog.candidates[0].design.stripes.rows
    assert abs(rows - 90) <= 30
    assert dialog.gallery.count() >= 2
    dialog.reject()


def test_turned_blocks_are_offered_only_where_yarns_are_dealt_out(window, qtbot):
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    form = dialog.form
    form.shape.setCurrentIndex(form.shape.findData("turned"))
    form.shape.activated.emit(form.shape.currentIndex())
    form.block.setValue(3)
    qtbot.waitUntil(lambda: not dialog.is_busy, timeout=20_000)
    yarns = [s.yarn for s in dialog.candidates[0].design.stripes.sequence]
    assert yarns[3:6] == [*yarns[1:3], yarns[0]]
    form.kind.setCurrentIndex(form.kind.findData("series"))
    form.kind.activated.emit(form.kind.currentIndex())
    assert form.shape.currentData() == "free" and form.plan.shape == "free"
    dialog.reject()


def test_every_field_of_the_plan_has_a_name_and_takes_the_focus(window, qtbot):
    window.choosers.plan_stripes()
    dialog = opened(window, qtbot, PlanDialog)
    kinds = (QAbstractSpinBox, QComboBox, QLineEdit, QAbstractButton)
    for kind in kinds:
        for field in some(dialog.findChildren(kind)):
            if isinstance(field.parent(), QAbstractSpinBox) or field.objectName().startswith("qt_"):
                continue
            named = field.accessibleName() or getattr(field, "text", str)()
            assert named, field
            assert field.focusPolicy() != Qt.FocusPolicy.NoFocus, field
    dialog.reject()


def test_every_field_of_the_page_has_a_name(page):
    for kind in (QAbstractSpinBox, QComboBox, QAbstractButton):
        for field in some(page.findChildren(kind)):
            assert field.accessibleName() or field.text(), field
            assert field.focusPolicy() != Qt.FocusPolicy.NoFocus


# --- the twin ------------------------------------------------------------------------------


def test_delight_11_a_second_colourway_in_one_step(window, qtbot):
    before = window.session.design
    window.choosers.second_colourway()
    dialog = opened(window, qtbot, TwinDialog)
    assert dialog.gallery.count() == 5  # three yarns have 3! orders, one of them the first
    QTest.keyClick(dialog.gallery, Key.Key_Return)
    after = window.session.design
    assert after.yarns == before.yarns
    assert [s.rows for s in after.stripes.sequence] == [4, 1, 3, 1]
    assert [s.yarn for s in after.stripes.sequence] != [0, 1, 2, 1]
    assert window.session.undo_stack.count() == 1
    window.session.undo_stack.undo()
    assert window.session.design is before


def test_one_yarn_alone_has_no_second_colourway_and_says_so(window, qtbot):
    window.session.change("One", lambda d: set_sequence(d, (Stripe(0, 2),)))
    window.choosers.second_colourway()
    dialog = opened(window, qtbot, TwinDialog)
    assert dialog.trouble.text().startswith("⚠ These stripes have one yarn only")
    assert not dialog.use.isEnabled()
    dialog.reject()


def test_closing_the_window_closes_the_dialog_and_its_thread(window, qtbot):
    window.choosers.plan_stripes()
    dialog = next(d for d in window.findChildren(PlanDialog) if d.isVisible())
    window.session.undo_stack.setClean()
    window.close()
    assert not dialog._worker._thread.isRunning()
