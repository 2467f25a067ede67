"""A design whose every text is hostile, and a look at everything that a window shows."""

from collections.abc import Iterator

from msgspec.structs import replace
from PySide6 import QtGui
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QGroupBox,
    QLabel,
    QMenu,
    QTableView,
    QTextBrowser,
    QTextEdit,
    QTreeView,
    QWidget,
)

from core.design import edits, stripe_edits
from core.design.document import Design, NamedSize, OwnWords

ROOT = QModelIndex()


def hostile(design: Design, text: str) -> Design:
    """Return a design with `text` everywhere that text may stand."""
    yarns = tuple(
        replace(yarn, name=f"{text[:70]}{number}") for number, yarn in enumerate(design.yarns)
    )
    design = edits.set_values(
        design,
        title=text[:200],
        designer=text[:200],
        notes=f"{text}\n{text}",
        yarns=yarns,
        sizes=(NamedSize(name=text[:40], repeats=3, rows=10),),
        own_words=(OwnWords(row=2, text=text, terms=design.terms, of="ab"),),
    )
    return stripe_edits.set_label(design, [0, 1], text[:40])


def shown_rich(root: QWidget, marks: tuple[str, ...]) -> Iterator[str]:
    """Return what would be taken for markup among all that holds one of the marks."""

    def holds(text: str) -> bool:
        return any(mark in text for mark in marks)

    for widget in [root, *root.findChildren(QWidget)]:
        name = f"{type(widget).__module__}.{type(widget).__name__}"
        for kind, text in (
            ("tooltip", widget.toolTip()),
            ("what's this", widget.whatsThis()),
        ):
            if holds(text) and QtGui.Qt.mightBeRichText(text):
                yield f"{kind} of {name}: {text[:80]!r}"
        if isinstance(widget, QLabel):
            format_ = widget.textFormat()
            is_rich = format_ == Qt.TextFormat.RichText or (
                format_ == Qt.TextFormat.AutoText and QtGui.Qt.mightBeRichText(widget.text())
            )
            if holds(widget.text()) and (is_rich or format_ == Qt.TextFormat.MarkdownText):
                yield f"label {widget.objectName()} in {_above(widget)}: {widget.text()[:80]!r}"
        elif isinstance(widget, QTextBrowser | QTextEdit):
            document: QTextDocument = widget.document()
            if holds(document.toHtml()):
                yield f"markup in {name}"
        elif isinstance(widget, QGroupBox):
            continue
        elif isinstance(widget, QAbstractItemView) and widget.model() is not None:
            yield from _items(widget, name, holds)
    for menu in root.findChildren(QMenu):
        for action in menu.actions() if menu.toolTipsVisible() else ():
            if holds(action.toolTip()) and QtGui.Qt.mightBeRichText(action.toolTip()):
                yield f"tooltip of the action {action.text()[:40]!r}"


def _above(widget: QWidget) -> str:
    names = []
    above = widget.parentWidget()
    while above is not None and len(names) < 4:
        names.append(type(above).__name__)
        above = above.parentWidget()
    return " < ".join(names)


def _columns(view: QAbstractItemView) -> int:
    return view.model().columnCount(ROOT) if isinstance(view, QTableView | QTreeView) else 1


def _items(view: QAbstractItemView, name: str, holds) -> Iterator[str]:
    model = view.model()
    for row in range(min(model.rowCount(ROOT), 200)):
        for column in range(_columns(view)):
            tip = model.data(model.index(row, column), Qt.ItemDataRole.ToolTipRole)
            if isinstance(tip, str) and holds(tip) and QtGui.Qt.mightBeRichText(tip):
                yield f"tooltip of an entry of {name}: {tip[:80]!r}"


def every_window() -> list[QWidget]:
    """Return every window that is open now."""
    return [widget for widget in QApplication.topLevelWidgets() if widget.isVisible()]
