"""The Colour page and the dialogs that make palettes, by mouse and keys."""

import numpy as np
import pytest
from desk import LEFT, move
from msgspec.structs import replace
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
)

from app.harmony_dialog import HarmonyDialog
from app.picture_dialog import PictureDialog
from app.session import Session
from app.views.colour_editor import ColourEditor
from app.views.pages.colour import ALL_APART, ColourPage
from core.design.document import Border, Edging, Stripe, Stripes, Yarn
from core.palette.neighbours import SIGHTS, apart, least_apart
from core.palette.spaces import oklch_of
from core.pipeline import Pipeline
from core.stripes.colour import difference

pytestmark = pytest.mark.usefixtures("qapp")
Key = Qt.Key


def yarn(name, colour, owned=0.0):
    return Yarn(name=name, colour=colour, ball_m=100, ball_g=50, owned_balls=owned)


YARNS = (
    yarn("Slate", "#808080"),
    yarn("Ash", "#868482"),
    yarn("Rust", "#b06a50", owned=2),
    yarn("Kelp", "#7a8449"),
    yarn("Chalk", "#f4f0e6"),
)
ORDER = (4, 2, 3, 4, 0, 1, 4, 2, 3)


@pytest.fixture
def merging_design(ripple):
    return replace(ripple, yarns=YARNS, stripes=Stripes(tuple(Stripe(n, 2) for n in ORDER)))


class Desk:
    """A page with a session behind it, as the window has it."""

    def __init__(self, page, design):
        self.page, self.session, self.pipeline = page, Session(design), Pipeline()
        page.wish.connect(lambda text, edit, gesture: self.session.change(text, edit, gesture))
        self.session.design_changed.connect(self.show)
        self.show(design)

    def show(self, design):
        self.page.show_results(self.pipeline.results(design))


@pytest.fixture
def desk(theme, qtbot, merging_design):
    page = ColourPage(theme)
    qtbot.addWidget(page)
    page.resize(320, 760)
    page.show()
    return Desk(page, merging_design)


def heads(page):
    return [page.list.item(row).text().split(",")[0] for row in range(page.list.count())]


# --- neighbours -----------------------------------------------------------------------------


def test_pairs_are_listed_by_name_the_worst_first_with_the_eyes(desk):
    assert heads(desk.page) == ["Slate and Ash", "Rust and Kelp"]
    first, second = (desk.page.list.item(row).text() for row in range(2))
    for words in ("To every eye", "In grey", "To red-blind eyes", "To blue-blind eyes"):
        assert words in first
    assert "2 places" in second and "To green-blind eyes" in second
    assert "To every eye" not in second
    assert desk.page.head.text() == "2 pairs of neighbours may run together."


def test_every_press_shows_the_next_place(desk):
    rows = []
    desk.page.row_wished.connect(rows.append)
    desk.page.list.setFocus()
    QTest.keyClick(desk.page.list, Key.Key_Down)
    for _ in range(3):
        QTest.keyClick(desk.page.list, Key.Key_Return)
    assert rows == [5, 17, 5]
    desk.page.show_button.click()
    assert rows[-1] == 17


def test_what_would_help_is_said_and_done_in_one_step(desk, qtbot):
    page = desk.page
    qtbot.waitUntil(lambda: page.shifts[0].isVisible())
    assert page.between.text().startswith("Chalk could stand between them")
    row = page.shifts[0]
    assert row.name == "Slate" and "of 100" in row._words.text()
    row.button.click()
    assert desk.session.undo_stack.count() == 1
    changed = desk.session.design.yarns[0].colour
    assert changed == row.colour
    assert all(apart(changed, YARNS[1].colour, sight) >= least_apart(sight) for sight in SIGHTS)
    assert heads(page) == ["Rust and Kelp"]
    desk.session.undo_stack.undo()
    assert heads(page) == ["Slate and Ash", "Rust and Kelp"]


def test_a_border_like_the_stripes_it_touches_is_listed_with_its_places(theme, qtbot, ripple):
    order = Stripes((Stripe(0, 2), Stripe(4, 2)))
    edging = Edging(border=Border(rounds=1, yarn=1))
    page = ColourPage(theme)
    qtbot.addWidget(page)
    desk = Desk(page, replace(ripple, yarns=YARNS, stripes=order, edging=edging))
    page.show()
    (item,) = [page.list.item(n).text() for n in range(page.list.count())]
    # Ten stripes by turns: Slate is the first and four more; Chalk, the last, isn't like Ash.
    assert item.startswith("Slate and Ash, 6 places (at the bottom and along the sides).")
    rows = []
    page.row_wished.connect(rows.append)
    page.show_button.click()
    page.show_button.click()
    assert rows[0] == 1 and rows[1] > 1
    desk.session.change("No border", lambda design: replace(design, edging=None), None)
    assert page.list.count() == 0


def test_where_nothing_merges_it_says_so(desk, ripple):
    desk.session.change("Other", lambda _: ripple)
    assert desk.page.head.text() == ALL_APART
    assert not desk.page.list.isVisible() and not desk.page.shifts[0].isVisible()


def test_a_hidden_page_does_no_work_and_catches_up(desk, ripple):
    desk.page.hide()
    desk.session.change("Other", lambda _: ripple)
    assert heads(desk.page) == ["Slate and Ash", "Rust and Kelp"]
    desk.page.show()
    assert desk.page.list.count() == 0


def test_every_part_is_reached_by_the_tab_key(desk, qtbot):
    page = desk.page
    qtbot.waitUntil(lambda: page.shifts[1].isVisible())
    page.yarn.setFocus()
    reached = []
    for _ in range(14):
        reached.append(page.focusWidget())
        QTest.keyClick(page.focusWidget(), Key.Key_Tab)
    editor = page.editor
    wanted = [page.yarn, editor.code, *editor.sliders, page.picture, page.harmony, page.list]
    wanted += [page.show_button, *([] if page.see_button.isHidden() else [page.see_button])]
    wanted += [*(row.button for row in page.shifts)]
    assert reached[: len(wanted)] == wanted


def test_the_fabric_can_be_seen_with_the_eyes_to_which_they_merge(desk, qtbot):
    page, wished = desk.page, []
    page.sight_wished.connect(wished.append)
    qtbot.waitUntil(lambda: page.shifts[0].isVisible())
    assert page.see_button.isHidden()  # the first pair merges to every eye
    page.list.setFocus()
    QTest.keyClick(page.list, Key.Key_Down)
    qtbot.waitUntil(page.see_button.isVisible)
    page.see_button.click()
    assert wished == [page.list.current_merge().sights[0]]


@pytest.mark.parametrize("make", ["page", "picture", "colour"])
def test_every_control_has_a_name_and_says_what_it_does(
    make, desk, dialog, theme, merging_design, tmp_path, qtbot
):
    widget = desk.page
    if make == "picture":
        widget = dialog
        read(dialog, flag(tmp_path / "flag.png", RED, BLUE), qtbot)
    elif make == "colour":
        widget = HarmonyDialog(merging_design, "#2a6f97", theme)
        qtbot.addWidget(widget)
        widget.show()
    kinds = QAbstractButton, QAbstractSpinBox, QComboBox, QAbstractSlider, QLineEdit
    found = 0
    for kind in kinds:
        for control in widget.findChildren(kind):
            if control.focusPolicy() == Qt.FocusPolicy.NoFocus or not control.isVisible():
                continue
            if isinstance(control.parent(), QAbstractSpinBox | QComboBox):
                continue
            found += 1
            assert control.accessibleName() or control.text(), control
            assert control.toolTip(), (control, control.accessibleName())
    assert found >= 6


# --- a colour by hand -----------------------------------------------------------------------


@pytest.fixture
def editor(theme, qtbot):
    editor = ColourEditor(theme)
    qtbot.addWidget(editor)
    editor.show_colour("#2a6f97")
    editor.show()
    return editor


def test_keys_on_a_slider_change_one_thing_and_undo_as_one(desk):
    editor = desk.page.editor
    desk.page.choose(2)
    light = editor.sliders[0]
    light.setFocus()
    for _ in range(5):
        QTest.keyClick(light, Key.Key_Right)
    before, after = oklch_of("#b06a50"), oklch_of(desk.session.design.yarns[2].colour)
    assert after[0] == pytest.approx(before[0] + 0.05, abs=0.005)
    assert after[2] == pytest.approx(before[2], abs=1.5)
    assert desk.session.undo_stack.count() == 1


def test_hue_is_not_lost_on_the_way_through_grey(editor):
    editor.sliders[1].setValue(0)
    assert np.ptp([int(editor.colour[at : at + 2], 16) for at in (1, 3, 5)]) <= 1
    editor.sliders[1].setValue(90)
    assert oklch_of(editor.colour)[2] == pytest.approx(oklch_of("#2a6f97")[2], abs=3)


def test_a_colour_no_screen_shows_is_said_so_and_shown_as_near_as_can_be(editor):
    editor.sliders[1].setValue(editor.sliders[1].maximum())
    assert "No screen shows" in editor.said.text()
    assert oklch_of(editor.colour)[2] == pytest.approx(oklch_of("#2a6f97")[2], abs=4)


@pytest.mark.parametrize(
    ("typed", "wanted"), [("#C1543C", "#c1543c"), ("c1543c", "#c1543c"), ("#abc", "#aabbcc")]
)
def test_codes_are_read_in_the_usual_ways(editor, typed, wanted):
    seen = []
    editor.changed.connect(lambda colour, _: seen.append(colour))
    editor.code.setFocus()
    editor.code.selectAll()
    QTest.keyClicks(editor.code, typed)
    QTest.keyClick(editor.code, Key.Key_Return)
    assert seen == [wanted] and editor.colour == wanted


def test_what_is_no_code_is_refused_and_nothing_lost(editor):
    editor.code.setFocus()
    editor.code.selectAll()
    QTest.keyClicks(editor.code, "blue")
    QTest.keyClick(editor.code, Key.Key_Return)
    assert editor.colour == "#2a6f97" and editor.code.text() == "#2a6f97"
    assert editor.said.isVisible() and "six figures" in editor.said.text()


def test_a_drag_on_a_track_follows_the_mouse(editor):
    slider = editor.sliders[2]
    middle = slider.rect().center()
    QTest.mousePress(slider, LEFT, pos=middle)
    assert slider.value() == pytest.approx(180, abs=4)
    QTest.mouseMove(slider, middle)
    QTest.mouseRelease(slider, LEFT, pos=middle)
    assert editor.accessibleDescription().endswith(editor.colour)


# --- from a picture -------------------------------------------------------------------------


RED, BLUE, CREAM = (176, 106, 80), (40, 80, 160), (230, 220, 180)


def flag(path, *bands):
    picture = np.zeros((90, 120, 3), np.uint8)
    for rows, rgb in zip(np.array_split(np.arange(90), len(bands)), bands, strict=True):
        picture[rows] = rgb
    QImage(picture.tobytes(), 120, 90, 360, QImage.Format.Format_RGB888).save(str(path))
    return path


@pytest.fixture
def dialog(theme, qtbot, merging_design, tmp_path):
    dialog = PictureDialog(merging_design, theme, str(tmp_path))
    qtbot.addWidget(dialog)
    dialog.show()
    yield dialog
    dialog.done(0)


def read(dialog, path, qtbot):
    with qtbot.waitSignal(dialog._finder.finished, timeout=10_000):
        dialog.open_picture(path)


def test_a_picture_gives_owned_yarns_first_and_new_ones_for_the_rest(dialog, tmp_path, qtbot):
    read(dialog, flag(tmp_path / "flag.png", RED, BLUE, CREAM), qtbot)
    assert dialog.said.text() == "It has only 3 colours to tell apart."
    cream, red, blue = (row.choice for row in dialog.taking.list.rows[:3])
    assert red.currentText().startswith("own: Rust, 0.")
    assert blue.currentText() == "a new yarn"
    assert cream.currentData() in ("new", "4")
    assert "33\u00a0%" in dialog.taking.list.rows[1].words.text()


def test_taking_it_is_one_step(dialog, tmp_path, qtbot, merging_design):
    session = Session(merging_design)
    dialog.wish.connect(lambda text, edit, gesture: session.change(text, edit, gesture))
    read(dialog, flag(tmp_path / "flag.png", RED, BLUE, (240, 60, 200)), qtbot)
    assert dialog.taking.take_button.text() == "Add 2 new yarns"
    dialog.taking.take_button.click()
    assert session.undo_stack.count() == 1
    assert [y.name for y in session.design.yarns[5:]] == ["Vivid pink", "Dark blue"]
    assert session.design.stripes == merging_design.stripes
    session.undo_stack.undo()
    assert session.design is merging_design


def test_stripes_can_be_worked_in_it(dialog, tmp_path, qtbot, merging_design):
    session = Session(merging_design)
    dialog.wish.connect(lambda text, edit, gesture: session.change(text, edit, gesture))
    read(dialog, flag(tmp_path / "flag.png", RED, BLUE), qtbot)
    QTest.mouseClick(
        dialog.taking.recolour.box, LEFT, pos=dialog.taking.recolour.box.rect().center() * 0.2
    )
    if not dialog.taking.recolour.box.isChecked():
        dialog.taking.recolour.box.click()
    assert dialog.taking.take_button.text() == "Recolour, add 1 yarn"
    dialog.taking.take()
    used = [stripe.yarn for stripe in session.design.stripes.sequence]
    # Five yarns in the order 4, 2, 3, 0, 1 take the two in turn.
    instead = {4: 2, 2: 5, 3: 2, 0: 5, 1: 2}
    assert used == [instead[n] for n in ORDER]
    assert [s.rows for s in session.design.stripes.sequence] == [2] * len(ORDER)


def test_a_point_is_moved_by_keys_and_mouse_and_takes_the_colour_there(dialog, tmp_path, qtbot):
    read(dialog, flag(tmp_path / "flag.png", CREAM, BLUE), qtbot)
    view = dialog.view
    view.setFocus()
    QTest.keyClick(view, Key.Key_1)
    before = dialog._found[0]
    for _ in range(7):
        QTest.keyClick(view, Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert dialog._found[0].y == min(before.y + 70, 89)
    assert difference(dialog._found[0].colour, "#2850a0") < 1
    assert "Point 1 of 2" in view.accessibleDescription()
    top = view._at((60, 10)).toPoint()
    QTest.mousePress(view, LEFT, pos=view._at((dialog._found[0].x, dialog._found[0].y)).toPoint())
    move(view, view._at((60, 12)).toPoint(), LEFT)
    QTest.mouseRelease(view, LEFT, pos=top)
    assert difference(dialog._found[view.chosen].colour, "#e6dcb4") < 1


def test_another_number_of_colours_is_looked_for(dialog, tmp_path, qtbot):
    bands = [(n * 28, 255 - n * 28, 40 + (n % 3) * 90) for n in range(9)]
    read(dialog, flag(tmp_path / "flag.png", *bands), qtbot)
    assert len(dialog._found) == 6
    dialog.number.setFocus()
    with qtbot.waitSignal(dialog._finder.finished, timeout=10_000):
        QTest.keyClick(dialog.number, Key.Key_Up)
    assert len(dialog._found) == 7


def test_a_file_that_is_no_picture_is_said_so_and_the_one_before_stays(dialog, tmp_path, qtbot):
    broken = tmp_path / "notes.png"
    broken.write_text("knit two")
    with qtbot.waitSignal(dialog._finder.failed, timeout=10_000):
        dialog.open_picture(broken)
    assert "notes.png isn't a picture" in dialog.view.accessibleDescription()
    assert not dialog.taking.take_button.isEnabled()
    read(dialog, flag(tmp_path / "flag.png", RED, BLUE), qtbot)
    found = dialog._found
    with qtbot.waitSignal(dialog._finder.failed, timeout=10_000):
        dialog.open_picture(broken)
    assert dialog._found == found and dialog.taking.take_button.isEnabled()
    assert dialog.said.text().startswith("⚠ notes.png")


def test_no_more_yarns_than_a_design_holds(theme, qtbot, merging_design, tmp_path):
    many = tuple(yarn(f"Y{n}", "#000000") for n in range(199))
    dialog = PictureDialog(replace(merging_design, yarns=many), theme, str(tmp_path))
    qtbot.addWidget(dialog)
    read(dialog, flag(tmp_path / "flag.png", RED, BLUE, CREAM), qtbot)
    assert not dialog.taking.take_button.isEnabled()
    assert "leave 2 of the new ones out" in dialog.taking.over.text()
    for row in dialog.taking.list.rows[:2]:
        row.choice.setCurrentIndex(row.choice.findData("none"))
        row.choice._on_activated(row.choice.currentIndex())
    assert dialog.taking.take_button.isEnabled()
    dialog.done(0)


# --- from a colour --------------------------------------------------------------------------


def test_rules_and_numbers_give_palettes(theme, qtbot, merging_design):
    dialog = HarmonyDialog(merging_design, "#2a6f97", theme)
    qtbot.addWidget(dialog)
    dialog.show()
    assert len(dialog.palette_colours()) == 5 and "#2a6f97" in dialog.palette_colours()
    dialog.rule.setFocus()
    QTest.keyClick(dialog.rule, Key.Key_Down)
    assert dialog.about.text().startswith("Hues to both sides")
    dialog.number.setFocus()
    QTest.keyClick(dialog.number, Key.Key_Up)
    assert len(dialog.palette_colours()) == 6
    assert dialog.band.accessibleDescription().count(",") == 5
    wished = []
    dialog.wish.connect(lambda text, *_: wished.append(text))
    dialog.taking.take_button.click()
    assert len(wished) == 1 and wished[0].startswith("Add ")


# --- in the window --------------------------------------------------------------------------


@pytest.fixture
def window(open_window, merging_design):
    return open_window(merging_design, settled=False)


def test_a_finding_leads_to_the_page_and_the_page_to_the_rows(window):
    finding = next(f for f in window.live.results.findings if f.where == "colour")
    window.show_place(finding.where)
    assert window.colour.isVisible() and window.colour.list.hasFocus()
    QTest.keyClick(window.colour.list, Key.Key_Return)
    assert window.linking.selecting.pointed.head[0] == 11
    assert window.fabric.relief.row == 11
    window.sentence.width_figure.setFocus()
    assert window.fabric.relief.row == -1


def test_a_dropped_picture_opens_the_dialog(window, tmp_path, qtbot):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(flag(tmp_path / "flag.png", RED, BLUE)))])
    drop = QDropEvent(
        QPointF(9, 9), Qt.DropAction.CopyAction, data, LEFT, Qt.KeyboardModifier.NoModifier
    )
    window.dropEvent(drop)
    dialog = window.opened.of(PictureDialog)
    qtbot.waitUntil(lambda: len(dialog._found) == 2, timeout=10_000)
    assert window.session.undo_stack.isClean()
    dialog.taking.take()
    assert len(window.session.design.yarns) == 6


def test_views_reach_the_chart(window):
    window.fabric.colours._choose_sight("grey")
    assert window.chart._sight.kind == "grey"
