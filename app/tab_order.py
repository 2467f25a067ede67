"""Tab goes from control to control as they stand: by layouts, row by row (WCAG 2.2, 2.4.3)."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QAbstractSpinBox,
    QComboBox,
    QGridLayout,
    QLayout,
    QLayoutItem,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QWidget,
)


def follow_layout(root: QWidget) -> None:
    """Let Tab go through everything inside a widget in the order of its layouts."""
    for before, after in pairwise(list(_stops(root))):
        QWidget.setTabOrder(before, after)


def _stops(widget: QWidget) -> Iterator[QWidget]:
    """Return what Tab can stop at, a widget before what lies in it."""
    if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.focusProxy() is None:
        yield widget
    for child in _inside(widget):
        yield from _stops(child)


def _inside(widget: QWidget) -> list[QWidget]:
    if isinstance(widget, QScrollArea):
        inner = widget.widget()
        return [] if inner is None else [inner]
    if isinstance(widget, QSplitter | QStackedWidget):
        return _there([widget.widget(place) for place in range(widget.count())])
    if isinstance(widget, QTabWidget):
        pages = [widget.widget(place) for place in range(widget.count())]
        return [widget.tabBar(), *_there(pages)]
    if isinstance(widget, QAbstractScrollArea | QAbstractSpinBox | QComboBox):
        return []
    layout = widget.layout()
    laid = [] if layout is None else list(_laid(layout))
    others = [
        child
        for child in widget.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)
        if child not in laid and not child.isWindow()
    ]
    return laid + others


def _there(widgets: list[QWidget | None]) -> list[QWidget]:
    return [widget for widget in widgets if widget is not None]


def _laid(layout: QLayout) -> Iterator[QWidget]:
    """Return the widgets of a layout and of those in it, row by row."""
    places = list(range(layout.count()))
    if isinstance(layout, QGridLayout):
        grid = layout

        def corner(place: int) -> tuple[int, int]:
            where: Any = grid.getItemPosition(place)  # row, column, and how many of both
            return int(where[0]), int(where[1])

        places.sort(key=corner)
    for place in places:
        item: QLayoutItem | None = layout.itemAt(place)
        if item is None:
            continue
        widget, inner = item.widget(), item.layout()
        if widget is not None:
            yield widget
        elif inner is not None:
            yield from _laid(inner)
