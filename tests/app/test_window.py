"""The window: wishes become steps, every view shows one design, nothing is lost."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QMessageBox, QSpinBox, QToolButton
from some import some

from core.design import edits
from core.design.files import read_design

Key, Mods = Qt.Key, Qt.KeyboardModifier
ANSWER = QMessageBox.StandardButton


@pytest.fixture
def window(open_window):
    return open_window()


def answer(monkeypatch, button):
    monkeypatch.setattr(QMessageBox, "exec", lambda box: button)


def hear(monkeypatch, said):
    def note(box):
        assert box.textFormat() == Qt.TextFormat.PlainText
        said.append(box.text())
        return ANSWER.Ok

    monkeypatch.setattr(QMessageBox, "exec", note)


def test_the_sentence_says_the_blanket(window):
    assert window.sentence.text() == (
        "Chain 147 (a multiple of 12, plus 3), 144 stitches in every row, 96 rows of "
        "treble (UK) in the back loops: 100 cm wide, 138 cm long, with waves 1.6 cm high "
        "that lean 31° and 5 colours."
    )


def test_one_switch_turns_every_word_and_no_figure(window):
    before = window.sentence.text()
    button = next(b for b in window.findChildren(QToolButton) if b.text() == "US")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert window.sentence.text() == before.replace("treble (UK)", "double crochet (US)")


def test_a_step_shows_everywhere_and_one_undo_takes_it_back(window, qtbot):
    before = window.session.design
    window.wave.setFocus()
    window.wave._choose(next(i for i, m in enumerate(window.wave._marks()) if m.kind == "run"))
    QTest.keyClick(window.wave, Key.Key_Up)
    results = window.live.results
    assert results.rows.foundation.multiple == 13
    assert "a multiple of 13" in window.sentence.text()
    assert window.chart.fabric is results.fabric
    assert window.wave_controls._runs[0].value() + window.wave_controls._runs[1].value() == 7
    window.session.undo_stack.undo()
    assert window.session.design is before
    assert "a multiple of 12" in window.sentence.text()


def test_a_number_typed_into_the_sentence_changes_the_size(window):
    QTest.mouseClick(window.sentence.rows, Qt.MouseButton.LeftButton)
    spin = window.sentence._popup.findChild(QSpinBox)
    spin.selectAll()
    QTest.keyClicks(spin, "40")
    QTest.keyClick(spin, Key.Key_Return)
    assert window.session.design.size.rows == 40
    assert window.session.undo_stack.count() == 1
    window.sentence._popup.close()


def test_the_strip_follows_the_chart_when_it_is_zoomed(window):
    window.chart.zoom(0.5)
    worked = window.strip._worked[0]
    end = window.chart.fabric.row_tops_mm(worked.last)[-1]
    y = window.chart.placing.points(end)[1]
    assert window.strip._rect(worked).top() == pytest.approx(y, abs=0.5)


def test_what_is_pointed_at_is_lit_in_chart_and_fabric_and_said(window):
    window.linking.selecting.point(3, 10)
    for view in (window.chart, window.fabric):
        assert view.selecting.pointed.head == (3, 10)
    # Row 3 is worked from right to left: the eleventh from the left is number 134 of 144.
    assert "Row 3 (RS), stitch 134 of 144: treble" in window.statusBar().currentMessage()


def test_overlays_add_what_they_know_of_a_stitch_to_the_status_line(window, qtbot):
    window.fabric.switches.lean.setChecked(True)
    window.linking.selecting.point(3, 10)
    assert " – leans " in window.statusBar().currentMessage()
    window.fabric.switches.lean.setChecked(False)
    window.fabric.switches.strain.setChecked(True)
    qtbot.waitUntil(lambda: window.fabric.stitch_words(3, 10) != "", timeout=5000)
    window.linking.selecting.point(-1, -1)
    window.linking.selecting.point(3, 10)
    assert " – post " in window.statusBar().currentMessage()


def test_saving_and_opening_give_the_same_design(window, tmp_path):
    window.session.change("Change length", lambda d: edits.set_size(d, rows=50))
    path = tmp_path / "throw.dipslope"
    assert window.documents.save_to(path)
    assert window.session.is_saved
    assert read_design(path) == window.session.design
    assert window.documents.recent() == [path]
    assert "throw.dipslope" in window.windowTitle()


def test_a_bad_file_leaves_the_open_design_and_its_history(window, tmp_path, monkeypatch):
    said = []
    hear(monkeypatch, said)
    window.session.change("Change length", lambda d: edits.set_size(d, rows=50))
    before = window.session.design
    bad = tmp_path / "bad.dipslope"
    bad.write_bytes(b'{"format": "dipslope-design", "version": 1')
    assert not window.documents.open(bad)
    assert window.session.design is before
    assert window.session.undo_stack.count() == 1
    assert "bad.dipslope" in said[0]


def test_a_folder_that_cannot_be_written_loses_nothing(window, tmp_path, monkeypatch):
    said = []
    hear(monkeypatch, said)
    window.session.change("Change length", lambda d: edits.set_size(d, rows=50))
    assert not window.documents.save_to(tmp_path / "nowhere" / "x.dipslope")
    assert not window.session.is_saved
    assert window.session.design.size.rows == 50
    assert said


@pytest.mark.parametrize(
    ("button", "leaves", "saved"),
    [(ANSWER.Cancel, False, False), (ANSWER.Discard, True, False), (ANSWER.Save, True, True)],
    ids=["cancel", "discard", "save"],
)
def test_unsaved_changes_are_asked_about(window, tmp_path, monkeypatch, button, leaves, saved):
    path = tmp_path / "mine.dipslope"
    window.documents.save_to(path)
    window.session.change("Change length", lambda d: edits.set_size(d, rows=50))
    answer(monkeypatch, button)
    assert window.documents.may_leave() == leaves
    assert (read_design(path).size.rows == 50) == saved


def test_a_title_is_never_taken_for_markup(window, monkeypatch):
    said = []
    title = "<b>bold</b> <img src=x>"
    window.session.change("Change title", lambda d: edits.set_values(d, title=title))
    hear(monkeypatch, said)
    assert not window.documents.may_leave()
    assert title in said[0]


def test_nothing_is_asked_without_changes(window, monkeypatch):
    monkeypatch.setattr(QMessageBox, "exec", lambda box: pytest.fail("asked"))
    assert window.documents.may_leave()


def test_a_new_wave_of_every_family_is_workable(window):
    from core.rows.starters import starter
    from core.rows.waves import FAMILIES

    for family in FAMILIES:
        window.session.open(starter(family, terms="UK"), None)
        results = window.live.results
        assert results.rows.misfit is None
        assert results.wave is not None
        assert results.design.terms == "UK"
        assert window.session.path is None


def test_chart_and_fabric_take_turns(window):
    seen = []
    for _ in range(3):
        window.flip()
        seen.append((window._chart_box.isVisible(), window.fabric.isVisible()))
    assert seen == [(True, False), (False, True), (True, True)]


def test_nothing_is_clipped_on_a_small_screen(window):
    window.resize(1366, 700)
    assert window.minimumSizeHint().height() <= 700
    for page in range(4):
        window.show_page(page)
        assert window.minimumSizeHint().width() <= 1366


def test_every_control_has_a_name(window):
    from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QComboBox

    for kind in (QAbstractButton, QAbstractSpinBox, QComboBox):
        for control in some(window.findChildren(kind)):
            if control.focusPolicy() == Qt.FocusPolicy.NoFocus or not control.isVisible():
                continue
            labelled = control.accessibleName() or getattr(control, "text", str)()
            assert labelled, control


def test_the_title_in_use_names_the_open_file(window):
    assert "not saved yet" in window.windowTitle()


def test_ctrl_z_in_a_number_box_undoes_the_design(window):
    run = window.wave_controls._runs[0]
    run.setFocus()
    run.selectAll()
    QTest.keyClicks(run, "5")
    QTest.keyClick(run, Key.Key_Return)
    assert window.session.undo_stack.count() == 1
    QTest.keyClick(run, Key.Key_Z, Mods.ControlModifier)
    assert window.session.undo_stack.index() == 0


def test_what_is_still_typed_counts_as_a_change_when_leaving(window, monkeypatch):
    run = window.wave_controls._runs[0]
    run.setFocus()
    run.selectAll()
    QTest.keyClicks(run, "7")
    answer(monkeypatch, ANSWER.Cancel)
    assert not window.documents.may_leave()
    assert 7 in window.live.results.shape.runs


def test_opening_another_design_is_seen_whole(window):
    window.fabric.zoom(4.0)
    window.chart.zoom(3.0)
    window.documents.open_demo()
    _, _, right, top = window.fabric.content_mm()
    now = window.fabric.placing
    assert now.x + now.scale * right <= window.fabric.width()
    assert now.y - now.scale * top >= 0


def test_a_name_without_the_ending_gets_it_and_never_replaces_unasked(
    window, tmp_path, monkeypatch
):
    from PySide6.QtWidgets import QFileDialog

    other = tmp_path / "v1.2.dipslope"
    other.write_text("mine")
    wanted = str(tmp_path / "v1.2")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a: (wanted, ""))
    answer(monkeypatch, ANSWER.Cancel)
    assert not window.documents.save_as()
    assert other.read_text() == "mine"
    answer(monkeypatch, ANSWER.Yes)
    assert window.documents.save_as()
    assert read_design(other) == window.session.design


def test_escape_after_a_closed_editor_is_harmless(window, qtbot):
    QTest.mouseClick(window.sentence.chain, Qt.MouseButton.LeftButton)
    window.sentence._popup.close()
    qtbot.waitUntil(lambda: window.sentence._popup is None)
    QTest.keyClick(window.sentence, Key.Key_Escape)


def test_the_edging_page_opens_by_its_key(window, qtbot):
    window.activateWindow()
    QTest.keyClick(window, Qt.Key.Key_5, Qt.KeyboardModifier.ControlModifier)
    assert window.edging.isVisible()
    window.show_page(0)
    window.show_place("edging top")
    assert window.edging.isVisible()


def test_no_two_actions_share_a_key(window):
    """Of two actions with one key Qt calls neither."""
    keys = [
        shortcut.toString()
        for action in window.findChildren(QAction)
        for shortcut in action.shortcuts()
    ]
    keys += [button.shortcut().toString() for button in window.findChildren(QAbstractButton)]
    keys = [key for key in keys if key]
    assert "Ctrl+R" in keys and "F9" in keys
    assert sorted(keys) == sorted(set(keys))
