"""What strangers stumbled over once: each of them found their way afterwards."""

from pathlib import Path

import pytest
from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from app.folders import first_folder
from app.painting.chart import Placing
from app.places import parts_of
from core.design import edits

Key, Mods = Qt.Key, Qt.KeyboardModifier


@pytest.fixture
def window(open_window, ripple, theme):
    window = open_window(ripple, theme=theme, active=True)
    window.documents.may_leave = lambda: True
    return window


def menu_of(window, title):
    menus = [m for m in window.findChildren(QMenu) if m.title() == title]
    assert menus, title
    return menus[0]


def test_the_count_of_colours_leads_to_the_yarns(window):
    window.sentence.colours.click()
    assert window.pages.is_shown(window.pages.index(window.yarn))
    assert window.yarn.table.hasFocus()


@pytest.mark.parametrize("which", ["width", "length"])
def test_another_size_wanted_is_typed_over_what_stands_there(window, which, qtbot):
    wanted = {"width_mm": 1270.0, "length_mm": 1520.0}
    window.session.change("Wanted", lambda design: edits.set_wanted(design, **wanted))
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=20_000)
    getattr(window.sentence, f"{which}_figure").click()
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    (other,) = [a for a in menu.actions() if a.text() == "Another size wanted…"]
    assert any("than wanted" in action.text() for action in menu.actions())
    menu.close()
    other.trigger()
    field = getattr(window.swatch.wanted, which)
    assert field.hasFocus()
    QTest.keyClicks(field, "120")
    QTest.keyClick(field, Key.Key_Return)
    assert getattr(window.session.design.wanted, f"{which}_mm") == pytest.approx(1200.0)


def test_a_chart_that_left_the_view_is_found_again(window, qtbot):
    """A wide chart was moved to its far end; the next design is narrow."""
    chart = window.chart
    window.session.change("Wider", lambda design: edits.set_size(design, repeats=12))
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=20_000)
    scale = 22.0 / chart.fabric.size.width_mm
    right = chart.content_mm()[2]
    chart.set_placing(Placing(scale, chart.width() - scale * right, chart.height() - 40.0))
    held = chart.placing
    window.session.change("Narrow", lambda design: edits.set_size(design, repeats=2))
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=20_000)
    left, bottom, right, top = chart.content_mm()
    now = chart.placing
    assert held.x + held.scale * right < 48, "else this test shows nothing"
    assert now.x + now.scale * right > 0 and now.x + now.scale * left < chart.width()
    assert now.y - now.scale * bottom > 0 and now.y - now.scale * top < chart.height()


def test_what_is_looked_at_stays_while_it_is_there(window, qtbot):
    chart = window.chart
    chart.zoom(1.4)
    held = chart.placing
    window.session.change("A row more", lambda design: edits.set_size(design, rows=22))
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=20_000)
    assert chart.placing == held


def test_keys_go_from_part_to_part_and_back(window):
    window.show_page(window.pages.index(window.yarn))
    parts = parts_of(window)
    window.chart.setFocus()
    seen = []
    for _ in parts:
        QTest.keyClick(window, Key.Key_F3)
        now = QApplication.focusWidget()
        seen.append(next(n for n, p in enumerate(parts) if p is now or p.isAncestorOf(now)))
    assert seen == [2, 3, 4, 5, 6, 0, 1]
    QTest.keyClick(window, Key.Key_F3, Mods.ShiftModifier)
    assert window.sentence.isAncestorOf(QApplication.focusWidget())


def test_every_part_can_be_gone_to_by_name(window):
    menu = menu_of(window, "G&o to")
    ways = {action.text().replace("&", ""): action for action in menu.actions()}
    for name, widget in (
        ("Shape the wave", window.wave),
        ("Change a stripe", window.strip),
        ("Set the size", window.sentence.width_figure),
        ("The chart", window.chart),
        ("The fabric", window.fabric),
    ):
        ways[name].trigger()
        assert widget.hasFocus(), name
    ways["The page at the side"].trigger()
    assert window.pages.stack.isVisible()
    assert window.pages.stack.isAncestorOf(QApplication.focusWidget())


# --- where files go


def test_a_new_design_starts_in_the_last_ones_folder_then_in_documents(tmp_path, monkeypatch):
    documents, last = tmp_path / "Documents", tmp_path / "blankets"
    monkeypatch.setattr(QStandardPaths, "writableLocation", lambda _: str(documents))
    assert first_folder(None, []) == Path.home()  # no folder of documents is made
    documents.mkdir()
    assert first_folder(None, []) == documents
    assert first_folder(None, [last / "a.dipslope"]) == documents  # its folder is gone
    last.mkdir()
    assert first_folder(None, [last / "a.dipslope"]) == last
    assert first_folder(tmp_path / "b.dipslope", [last / "a.dipslope"]) == tmp_path


def test_exports_go_on_where_the_last_one_of_the_design_went(window, tmp_path):
    documents = window.documents
    documents.note_written(tmp_path / "out")
    assert documents.out_folder == tmp_path / "out"
    window.session.mark_saved(tmp_path / "saved" / "throw.dipslope")
    assert documents.out_folder == tmp_path / "saved"
