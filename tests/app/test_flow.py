"""Widgets set like words in a paragraph, and Tab through them."""

import ast
from pathlib import Path

import pytest
from PySide6.QtWidgets import QDialog, QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout

from app.tab_order import follow_layout
from app.views.flow import Flow

APP = Path(__file__).parents[2] / "app"


@pytest.fixture
def flow(qtbot):
    flow = Flow(gap_px=4)
    qtbot.addWidget(flow)
    for _ in range(3):
        button = QPushButton()
        button.setFixedSize(60, 20)
        flow.add(button)
    return flow


def corners(flow):
    return [(held.x(), held.y()) for held in flow.held()]


def test_lines_break_where_they_are_full(flow, qtbot):
    assert flow.line_width() == 188
    assert [flow.heightForWidth(wide) for wide in (188, 187, 124, 123)] == [20, 44, 44, 68]
    flow.resize(188, 100)
    flow.show()
    assert corners(flow) == [(0, 0), (64, 0), (128, 0)]
    flow.resize(130, 100)
    assert corners(flow) == [(0, 0), (64, 0), (0, 24)]


def test_a_hidden_widget_takes_no_room_and_comes_back(flow, qtbot):
    flow.resize(188, 40)
    flow.show()
    flow.held()[0].hide()
    qtbot.waitUntil(lambda: corners(flow)[1:] == [(0, 0), (64, 0)])
    assert flow.line_width() == 124
    flow.held()[0].show()
    qtbot.waitUntil(lambda: corners(flow) == [(0, 0), (64, 0), (128, 0)])


def test_the_page_around_it_gives_the_room_that_longer_words_take(qtbot):
    page = QDialog()
    qtbot.addWidget(page)
    column = QVBoxLayout(page)
    flow, below = Flow(), QLabel("below")
    words = QLabel("few")
    flow.add(words, QLabel("words"))
    column.addWidget(flow)
    column.addWidget(below)
    page.setFixedWidth(300)
    page.show()
    before = flow.height()
    words.setText("a good many more words " * 2)
    qtbot.waitUntil(lambda: flow.held()[1].y() > 0)
    qtbot.waitUntil(lambda: flow.height() > before)
    assert below.y() >= flow.geometry().bottom()


def test_words_that_changed_at_another_width_have_their_room_when_it_is_narrow_again(qtbot):
    page = QDialog()
    qtbot.addWidget(page)
    column = QVBoxLayout(page)
    flow, words = Flow(), QLabel("short")
    flow.add(words, QLabel("a line of words that stands beside it"))
    column.addWidget(flow)
    column.addStretch(1)
    narrow = flow.line_width() + 40
    page.resize(narrow, 200)
    page.show()
    one_line = flow.height()
    page.resize(2 * narrow, 200)
    words.setText("longer by a good deal now")
    qtbot.waitUntil(lambda: flow.held()[1].x() > words.width())
    assert flow.height() == one_line
    page.resize(narrow, 200)
    qtbot.waitUntil(lambda: flow.held()[1].y() > 0)
    qtbot.waitUntil(lambda: flow.height() > one_line)


def test_no_widgets_take_no_height(qtbot):
    flow = Flow()
    qtbot.addWidget(flow)
    assert flow.heightForWidth(100) <= 0
    assert flow.minimumSizeHint().width() == 0


def test_tab_goes_by_nested_layouts_and_by_rows_of_a_grid(qtbot):
    page = QDialog()
    qtbot.addWidget(page)
    buttons = {name: QPushButton(name, page) for name in "fedcba"}  # made in another order
    column, line, grid = QVBoxLayout(page), QHBoxLayout(), QGridLayout()
    column.addLayout(line)
    line.addWidget(buttons["a"])
    line.addWidget(buttons["b"])
    column.addLayout(grid)
    grid.addWidget(buttons["d"], 0, 1)
    grid.addWidget(buttons["e"], 1, 0)
    grid.addWidget(buttons["c"], 0, 0)
    column.addWidget(buttons["f"])
    follow_layout(page)
    gone = [buttons["a"]]
    while gone[-1].nextInFocusChain() is not buttons["a"]:
        gone.append(gone[-1].nextInFocusChain())
    assert [one.text() for one in gone if isinstance(one, QPushButton)] == list("abcdef")


def test_nothing_in_the_program_handles_items_of_layouts():
    """Wrappers of `QLayoutItem` outlive what they wrap; see `app.views.flow`."""
    files = sorted(APP.rglob("*.py"))
    assert len(files) > 100
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            name = node.attr if isinstance(node, ast.Attribute) else ""
            assert name not in {"takeAt", "itemAtPosition", "QLayoutItem"}, file
            if name == "itemAt":  # scenes and lists have one too
                assert "Layout" not in file.read_text(encoding="utf-8"), file
