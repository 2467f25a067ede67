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
    children = _direct(widget)
    layout = widget.layout()
    laid = [] if layout is None else list(_laid(layout, children))
    return laid + [child for child in children if child not in laid and not child.isWindow()]


def _direct(widget: QWidget) -> list[QWidget]:
    return widget.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)


def _there(widgets: list[QWidget | None]) -> list[QWidget]:
    return [widget for widget in widgets if widget is not None]


def _laid(layout: QLayout, children: list[QWidget]) -> Iterator[QWidget]:
    """Return those of a widget's children that are in a layout or in one inside it, row by row.

    It asks where each child is: what lies at a place would be a `QLayoutItem`, and a wrapper of
    one outlives it unseen (see `app.views.flow`).
    """
    inner = layout.findChildren(QLayout, options=Qt.FindChildOption.FindDirectChildrenOnly)
    things: list[QWidget | QLayout] = [*children, *inner]
    placed: list[tuple[Any, QWidget | QLayout]] = []
    for thing in things:
        place = layout.indexOf(thing)
        if place >= 0:
            # of a grid: row, column, and how many of both
            where: Any = layout.getItemPosition(place) if isinstance(layout, QGridLayout) else place
            placed.append((where, thing))
    placed.sort(key=lambda at: at[0])
    for _, thing in placed:
        if isinstance(thing, QLayout):
            yield from _laid(thing, children)
        else:
            yield thing
