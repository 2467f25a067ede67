"""A new design is begun from pictures, by mouse or by keys; the open one isn't lost by it."""

import numpy as np
import pytest
from desk import typed
from PySide6.QtCore import QMimeData, QPoint, QPointF, QSize, Qt, QUrl
from PySide6.QtGui import QAccessible, QDragEnterEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel, QMessageBox, QToolButton

from app.new_dialog import DEMO_CARD, ROWS, SKETCH, SWATCH, NewDialog
from app.painting.wave_picture import wave_picture
from app.reading_dialog import ReadingDialog
from app.sketch_dialog import SketchDialog
from core.design import edits
from core.design.files import read_design, write_design
from core.pipeline import Pipeline
from core.rows.starters import starter
from core.rows.waves import FAMILIES, family_of, shape_of

Key, LEFT = Qt.Key, Qt.MouseButton.LeftButton
SOON = 20_000


@pytest.fixture
def window(open_window):
    return open_window(settled=False, active=True)


@pytest.fixture
def dialog(window, qtbot):
    QTest.keyClick(window, Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    dialog = window.findChild(NewDialog)
    dialog.resize(1137, 660)
    qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
    return dialog


def worked_out(dialog):
    return dialog._answer is not None and not dialog._worker.is_busy


def is_gone(window):
    return all(dialog.isHidden() for dialog in window.findChildren(NewDialog))


def family_now(window):
    return family_of(shape_of(window.session.design.wave)).key


def test_a_card_that_is_double_clicked_begins_its_wave(window, dialog, qtbot):
    at, cards = dialog.cards.place_of("double"), dialog.cards.viewport()
    QTest.mouseClick(cards, LEFT, pos=at)
    QTest.mouseDClick(cards, LEFT, pos=at)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert family_now(window) == "double"
    assert window.session.path is None
    assert window.session.design.terms == "UK"  # as the design that was open


def test_nothing_moves_as_a_caution_comes_and_goes(dialog, qtbot):
    sizes, seen = dialog.fields.size_field, {}
    for size in ("throw", "pram", "double bed"):
        sizes.setCurrentIndex(sizes.findData(size))
        sizes.activated.emit(sizes.currentIndex())
        assert dialog._worker.is_busy
        qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
        dialog.layout().activate()
        seen[size] = (bool(dialog.caution.text()), dialog.start.pos(), sizes.pos(), dialog.size())
    assert [cautioned for cautioned, *_ in seen.values()] == [False, True, False]
    assert len({str(places) for _, *places in seen.values()}) == 1


def test_a_card_and_a_size_and_the_button_begin_a_blanket_of_that_size(window, dialog, qtbot):
    QTest.mouseClick(dialog.cards.viewport(), LEFT, pos=dialog.cards.place_of("pointed"))
    dialog.fields.size_field.setFocus()
    QTest.keyClicks(dialog.fields.size_field, "throw")
    qtbot.waitUntil(lambda: "wide" in dialog.said.text() and worked_out(dialog), timeout=SOON)
    QTest.mouseClick(dialog.start, LEFT)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    size, design = window.live.results.size, window.session.design
    assert family_now(window) == "pointed"
    assert design.use == "throw"
    # 50 x 60 in: sarahmaker.com/crochet-blanket-sizes, thisiscrochet.com/crochet-afghan-size-chart.
    assert abs(size.width_mm - 1270) < 80 and abs(size.length_mm - 1524) < 20


def test_arrows_letters_and_enter_begin_by_the_keyboard_alone(window, dialog, qtbot):
    assert dialog.cards.hasFocus()
    QTest.keyClick(dialog.cards, Key.Key_Right)
    assert dialog.cards.card.key == "pointed"
    QTest.keyClick(dialog.cards, Key.Key_Down)
    assert dialog.cards.card.key == FAMILIES[6].key
    QTest.keyClick(dialog.cards, Key.Key_Home)
    QTest.keyClicks(dialog.cards, "slo")
    assert dialog.cards.card.key == "slow"
    QTest.keyClick(dialog.cards, Key.Key_Return)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert family_now(window) == "slow"


def test_enter_at_once_waits_for_what_is_being_worked_out(window, dialog, qtbot):
    dialog.cards.choose("fan")  # takes a moment
    QTest.keyClick(dialog.cards, Key.Key_Return)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert family_now(window) == "fan"


def test_escape_keeps_the_open_design(window, dialog):
    before = window.session.design
    QTest.keyClick(dialog, Key.Key_Escape)
    assert is_gone(window)
    assert window.session.design is before


def test_unsaved_work_is_asked_about_and_the_cards_stay_if_it_is_to_be_kept(
    window, dialog, qtbot, monkeypatch
):
    asked = []
    monkeypatch.setattr(
        QMessageBox,
        "exec",
        lambda box: asked.append(box.text()) or QMessageBox.StandardButton.Cancel,
    )
    window.session.change("Change length", lambda d: edits.set_size(d, rows=50))
    before = window.session.design
    QTest.keyClick(dialog.cards, Key.Key_Return)
    assert len(asked) == 1
    assert window.session.design is before
    assert dialog.isVisible()


def test_a_stitch_chosen_first_is_what_the_cards_show_and_what_is_begun(window, dialog, qtbot):
    dialog.fields.stitch.setFocus()
    QTest.keyClick(dialog.fields.stitch, Key.Key_Home)  # the first of them: sc, dc in UK terms
    assert dialog.fields.stitch.currentText() == "double crochet (dc)"
    dialog.cards.choose("gentle")
    qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
    QTest.mouseClick(dialog.start, LEFT)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert window.session.design.gauge.stitch == "sc"
    assert window.live.results.rows.misfit is None


def test_a_size_and_a_title_of_ones_own_are_what_is_begun(window, dialog, qtbot):
    fields = dialog.fields
    assert not any(side.isVisible() for side in fields.sides)
    fields.size_field.setFocus()
    QTest.keyClicks(fields.size_field, "my")  # a space would open the list
    assert all(side.isVisible() for side in fields.sides)
    for side, text in zip(fields.sides, ("90", "120"), strict=True):
        typed(side, text, end=Key.Key_Tab)
    typed(fields.title, "Window seat", end=Key.Key_Tab)
    qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
    QTest.mouseClick(dialog.start, LEFT)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    design, size = window.session.design, window.live.results.size
    assert design.title == "Window seat"
    assert (design.wanted.width_mm, design.wanted.length_mm) == (900.0, 1200.0)
    repeat_mm = size.width_mm / design.size.repeats  # a nearer width would take part of one
    assert abs(size.width_mm - 900) <= repeat_mm / 2 + 1
    assert abs(size.length_mm - 1200) <= size.length_mm / design.size.rows + 1


def own_size(dialog):
    fields = dialog.fields
    fields.size_field.setFocus()
    QTest.keyClicks(fields.size_field, "my")  # a space would open the list
    return fields.sides


def retyped(field, text):
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)


def test_the_starts_own_key_takes_a_width_that_is_just_being_typed(window, dialog, qtbot):
    wide, _ = own_size(dialog)
    qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
    retyped(wide, "150")
    QTest.keyClick(wide, Key.Key_S, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert window.session.design.wanted.width_mm == 1500.0


def test_the_starts_own_key_takes_a_title_that_is_just_being_typed(window, dialog, qtbot):
    retyped(dialog.fields.title, "Pew")
    QTest.keyClick(dialog.fields.title, Key.Key_S, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert window.session.design.title == "Pew"


def test_escape_in_a_side_goes_back_to_what_was_typed_before(window, dialog, qtbot):
    wide, _ = own_size(dialog)
    typed(wide, "150", end=Key.Key_Tab)
    retyped(wide, "2")
    QTest.keyClick(wide, Key.Key_Escape)
    assert wide.text() == "150 cm" and dialog.isVisible()
    dialog.start.click()
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert window.session.design.wanted.width_mm == 1500.0


def test_a_drawn_wave_in_a_size_that_can_t_be_is_refused_in_words(window, dialog, qtbot):
    for side, text in zip(own_size(dialog), ("1500", "2000"), strict=True):
        typed(side, text, end=Key.Key_Tab)
    dialog.cards.choose(SKETCH)
    dialog.go()
    assert dialog.isVisible()
    assert dialog.said.text().startswith("⚠ ") and "rows" in dialog.said.text()


def test_no_two_fields_share_a_key(window, dialog):
    own_size(dialog)
    dialog.cards.choose(SWATCH)
    texts = [label.text() for label in dialog.findChildren(QLabel) if label.isVisible()]
    texts += [button.text() for button in dialog.findChildren(QAbstractButton)]
    letters = [text[text.index("&") + 1].lower() for text in texts if "&" in text]
    assert len(letters) > 8
    assert len(letters) == len(set(letters)), letters


def test_enter_in_the_title_begins_with_what_was_typed(window, dialog, qtbot):
    typed(dialog.fields.title, "Reading room", end=Key.Key_Return)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    assert window.session.design.title == "Reading room"


def test_a_swatch_of_ones_own_gives_the_gauge(window, dialog, qtbot):
    assert not dialog.piece.isVisible()
    QTest.mouseClick(dialog.cards.viewport(), LEFT, pos=dialog.cards.place_of(SWATCH))
    assert dialog.piece.isVisible()
    for field, text in (
        (dialog.piece.run, "4"),
        (dialog.piece.width_field, "16.5"),
        (dialog.piece.rows, "10"),
        (dialog.piece.length, "14"),
    ):
        typed(field, text, end=Key.Key_Tab)
    dialog.fields.size_field.setFocus()
    QTest.keyClicks(dialog.fields.size_field, "lap")
    qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
    QTest.mouseClick(dialog.start, LEFT)
    qtbot.waitUntil(lambda: is_gone(window), timeout=SOON)
    results = window.live.results
    assert results.wave.repeat_width_mm == pytest.approx(82.5, rel=0.005)
    # knitty.com/ISSUEdf12/ripply.html: a multiple of 14, and 3; 91 cm by 8.25 are 11 repeats.
    assert results.rows.foundation.chains == 11 * 14 + 3
    assert results.design.swatch.repeats_mm == 165.0


def test_a_swatch_that_can_t_be_says_so_and_can_t_be_started_from(window, dialog, qtbot):
    dialog.cards.choose(SWATCH)
    typed(dialog.piece.width_field, "90", end=Key.Key_Tab)
    typed(dialog.piece.length, "3", end=Key.Key_Tab)
    qtbot.waitUntil(lambda: not dialog.start.isEnabled(), timeout=SOON)
    assert dialog.said.text().startswith("⚠ No fabric of this wave has both measures")
    typed(dialog.piece.width_field, "16.5", end=Key.Key_Tab)
    typed(dialog.piece.length, "14", end=Key.Key_Tab)
    qtbot.waitUntil(lambda: worked_out(dialog), timeout=SOON)
    assert dialog.start.isEnabled()


@pytest.mark.parametrize(("key", "kind"), [(SKETCH, SketchDialog), (ROWS, ReadingDialog)])
def test_drawing_and_written_rows_go_on_in_their_own_dialogs(window, dialog, qtbot, key, kind):
    before = window.session.design
    dialog.cards.choose(key)
    QTest.mouseClick(dialog.start, LEFT)
    assert is_gone(window)
    other = window.findChild(kind)
    assert other.isVisible()
    other.reject()
    assert window.session.design is before


def test_a_drawn_wave_begins_a_new_design(window, dialog, qtbot):
    dialog.cards.choose(SKETCH)
    QTest.keyClick(dialog.cards, Key.Key_Return)
    sketch = window.findChild(SketchDialog)
    button = next(b for b in sketch.findChildren(QToolButton) if b.text().startswith("&Start"))
    qtbot.waitUntil(lambda: len(sketch.surface._now_mm) > 0, timeout=SOON)
    QTest.mouseClick(button, LEFT)
    qtbot.waitUntil(lambda: sketch.cards[0].offer is not None, timeout=SOON)
    QTest.mouseClick(sketch.cards[0].button, LEFT)
    assert window.session.design.title == "New drawn wave"
    assert window.session.path is None
    assert window.session.undo_stack.count() == 0


def test_the_demo_is_a_card_too(window, dialog, demo_path, qtbot):
    window.session.open(starter(FAMILIES[0]), None)
    dialog.cards.choose(DEMO_CARD)
    QTest.keyClick(dialog.cards, Key.Key_Return)
    assert is_gone(window)
    assert window.session.design == read_design(demo_path)


def test_every_wave_has_a_picture_of_its_own_and_words_for_who_can_t_see_it(dialog, qtbot):
    fine = dialog.devicePixelRatioF()
    names = [dialog._name(family.key) for family in FAMILIES]
    qtbot.waitUntil(
        lambda: all(dialog._pictures.picture(name, fine) for name in names), timeout=SOON
    )
    seen = {dialog._pictures.picture(name, fine).constBits().tobytes() for name in names}
    assert len(seen) == len(names)
    role = Qt.ItemDataRole.AccessibleTextRole
    told = [dialog.cards.item(row).data(role) for row in range(dialog.cards.count())]
    for family, text in zip(FAMILIES, told, strict=False):
        assert text.startswith(f"{family.name}. {family.about}. a multiple of ")
    assert QAccessible.queryAccessibleInterface(dialog.cards) is not None
    for button in dialog.findChildren(QAbstractButton):
        if button.isVisibleTo(dialog) and button.text():
            assert button.toolTip()


def test_a_picture_is_of_the_settled_fabric_from_edge_to_edge(qapp):
    """Every pixel is yarn, and one repeat of the model's width later the picture is the same."""
    design = starter(FAMILIES[1])
    image = wave_picture(design, QSize(400, 90), 2.0)
    pixels = np.frombuffer(image.constBits(), np.uint8).reshape(90, -1, 4)[:, :400].astype(float)
    assert (pixels[..., 3] > 0).all()
    repeat_px = round(2.0 * Pipeline().results(design).wave.repeat_width_mm)
    apart = np.abs(pixels[:, repeat_px:] - pixels[:, :-repeat_px]).mean()
    half = repeat_px // 2
    assert apart < 0.35 * np.abs(pixels[:, half:] - pixels[:, :-half]).mean()


def test_a_design_dragged_over_the_window_is_told_before_it_is_dropped(window, tmp_path, ripple):
    path = tmp_path / "tide line.dipslope"
    write_design(ripple, path)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    event = QDragEnterEvent(
        QPoint(40, 40), Qt.DropAction.CopyAction, data, LEFT, Qt.KeyboardModifier.NoModifier
    )
    window.dragEnterEvent(event)
    assert event.isAccepted()
    assert window.statusBar().currentMessage() == "Drop to open tide line.dipslope"
    assert QPointF(event.position()) == QPointF(40, 40)
