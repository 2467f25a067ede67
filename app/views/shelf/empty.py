"""A quiet page in place of a list: what is so, and what can be done."""

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.theme import UNIT


def message_page(title: str, words: str | QLabel, buttons: tuple[QPushButton, ...]) -> QWidget:
    """Return a quiet page with a heading, a sentence and what to do."""
    page = QWidget()
    head = QLabel(title, page)
    font = head.font()
    font.setPointSizeF(font.pointSizeF() * 1.3)
    head.setFont(font)
    text = words if isinstance(words, QLabel) else QLabel(words, page)
    text.setProperty("quiet", True)
    text.setWordWrap(True)
    column = QVBoxLayout(page)
    column.setContentsMargins(6 * UNIT, 4 * UNIT, 6 * UNIT, 4 * UNIT)
    column.setSpacing(2 * UNIT)
    column.addStretch(2)
    column.addWidget(head)
    column.addWidget(text)
    row = QHBoxLayout()
    row.setSpacing(UNIT)
    for button in buttons:
        row.addWidget(button)
    row.addStretch(1)
    column.addLayout(row)
    column.addStretch(3)
    return page
