"""Paper and ink: the window's colours and sizes, light and dark, following the system.

Contrast of every pair used for text is checked in `tests/app/test_theme.py` (WCAG 2.2 AA).
"""

from dataclasses import dataclass
from typing import Final, Literal

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from app.control_sheet import control_sheet

UNIT: Final = 8  # px of the spacing grid


@dataclass(frozen=True, slots=True, kw_only=True)
class Tones:
    """The window's colours.

    Attributes:
        ground: Behind everything.
        sheet: Where something lies: chart, fabric, pages.
        field: Behind text to be typed.
        ink: Text and symbols.
        muted: Text of less weight.
        hairline: Rules and borders.
        edge: Round what is typed into, 3 : 1 against what it lies on (WCAG 2.2, 1.4.11).
        accent: What can be acted on.
        on_accent: Text on the accent.
        trouble: What is wrong; never the only sign of it.
        is_dark: Whether these are the dark tones.
    """

    ground: str
    sheet: str
    field: str
    ink: str
    muted: str
    hairline: str
    edge: str
    accent: str
    on_accent: str
    trouble: str
    is_dark: bool


LIGHT: Final = Tones(
    ground="#f1ebe0",
    sheet="#fbf8f2",
    field="#fffdf9",
    ink="#22201d",
    muted="#655e54",
    hairline="#d8cfbf",
    edge="#877c6b",
    accent="#1d5c66",
    on_accent="#ffffff",
    trouble="#9c2f1b",
    is_dark=False,
)
DARK: Final = Tones(
    ground="#171513",
    sheet="#211f1c",
    field="#2a2724",
    ink="#ece6da",
    muted="#aca395",
    hairline="#3d3934",
    edge="#857d72",
    accent="#7fc6d0",
    on_accent="#12282b",
    trouble="#f19a80",
    is_dark=True,
)


Look = Literal["system", "light", "dark"]


class Theme(QObject):
    """The tones in force; says when the system or the user changes from light to dark."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._look: Look = "system"
        self._hints = QGuiApplication.styleHints()
        self._hints.colorSchemeChanged.connect(self._on_scheme)

    @property
    def tones(self) -> Tones:
        """The tones that were chosen, or that fit the system's scheme."""
        if self._look == "system":
            dark = self._hints.colorScheme() == Qt.ColorScheme.Dark
            return DARK if dark else LIGHT
        return DARK if self._look == "dark" else LIGHT

    @property
    def look(self) -> Look:
        """Whether the system decides, or what was chosen instead."""
        return self._look

    def set_look(self, look: Look) -> None:
        """Follow the system, or stay light or dark."""
        self._look = look
        self._on_scheme()

    def apply(self) -> None:
        """Give the application its style, palette and sheet."""
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.setStyle("Fusion")
            app.setPalette(palette_of(self.tones))
            app.setStyleSheet(style_sheet(self.tones) + control_sheet(self.tones))

    def _on_scheme(self) -> None:
        self.apply()
        self.changed.emit()


def palette_of(tones: Tones) -> QPalette:
    """Return Qt's palette in these tones."""
    role = QPalette.ColorRole
    palette = QPalette()
    for which, colour in (
        (role.Window, tones.ground),
        (role.WindowText, tones.ink),
        (role.Base, tones.field),
        (role.AlternateBase, tones.sheet),
        (role.Text, tones.ink),
        (role.Button, tones.sheet),
        (role.ButtonText, tones.ink),
        (role.BrightText, tones.trouble),
        (role.Highlight, tones.accent),
        (role.HighlightedText, tones.on_accent),
        (role.Link, tones.accent),
        (role.LinkVisited, tones.accent),
        (role.ToolTipBase, tones.field),
        (role.ToolTipText, tones.ink),
        (role.PlaceholderText, tones.muted),
        (role.Mid, tones.hairline),
        (role.Midlight, tones.hairline),
        (role.Dark, tones.hairline),
        (role.Light, tones.sheet),
        (role.Shadow, tones.hairline),
    ):
        palette.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, which, QColor(tones.muted))
    return palette


def style_sheet(tones: Tones) -> str:
    """Return the few rules that the palette can't say."""
    return f"""
    QMainWindow, QDialog {{ background: {tones.ground}; }}
    QToolTip {{ background: {tones.field}; color: {tones.ink}; border: 1px solid {tones.hairline};
        padding: 4px; }}
    QPushButton, QToolButton {{ background: transparent; border: 1px solid {tones.hairline};
        border-radius: 6px; padding: 4px 10px; }}
    QToolButton {{ padding: 4px 8px; }}
    QPushButton:hover, QToolButton:hover {{ background: {tones.field};
        border-color: {tones.accent}; }}
    QPushButton:focus, QToolButton:focus {{ border: 2px solid {tones.accent}; padding: 3px 9px; }}
    QToolButton:focus {{ padding: 3px 7px; }}
    QPushButton:checked, QToolButton:checked {{ background: {tones.accent};
        color: {tones.on_accent}; border-color: {tones.accent}; }}
    QToolButton[fold="true"] {{ border: none; border-top: 1px solid {tones.hairline};
        border-radius: 0; padding: 8px 0 4px 0; text-align: left; }}
    QToolButton[fold="true"]:checked {{ background: transparent; color: {tones.ink};
        border-color: {tones.hairline}; }}
    QToolButton[fold="true"]:hover {{ color: {tones.accent}; background: transparent; }}
    QToolButton[fold="true"]:focus {{ border: 2px solid {tones.accent}; padding: 6px 0 2px 0; }}
    QToolButton[segment="first"] {{ border-top-right-radius: 0; border-bottom-right-radius: 0; }}
    QToolButton[segment="middle"] {{ border-radius: 0; border-left: none; }}
    QToolButton[segment="last"] {{ border-top-left-radius: 0; border-bottom-left-radius: 0;
        border-left: none; }}
    QToolButton[segment="middle"]:focus, QToolButton[segment="last"]:focus {{
        border: 2px solid {tones.ink}; }}
    QToolButton[segment="first"]:focus {{ border: 2px solid {tones.ink}; }}
    QPushButton[primary="true"] {{ background: {tones.accent}; color: {tones.on_accent};
        border-color: {tones.accent}; font-weight: 600; }}
    QPushButton[primary="true"]:disabled {{ background: transparent; color: {tones.muted};
        border-color: {tones.hairline}; }}
    QLineEdit, QPlainTextEdit, QListWidget, QTableWidget {{
        background: {tones.field}; border: 1px solid {tones.hairline}; border-radius: 6px;
        padding: 3px 6px; }}
    QLineEdit, QPlainTextEdit {{ border-color: {tones.edge}; }}
    QLineEdit:focus, QPlainTextEdit:focus,
    QListWidget:focus, QTableWidget:focus {{ border: 2px solid {tones.accent}; padding: 2px 5px; }}
    QListView[rows="true"], QTableView[rows="true"] {{ background: {tones.field};
        border: 1px solid {tones.hairline}; border-radius: 6px; padding: 1px; }}
    QListView[rows="true"]:focus, QTableView[rows="true"]:focus {{
        border: 2px solid {tones.accent}; padding: 0; }}
    QAbstractSpinBox QLineEdit, QComboBox QLineEdit {{ border: none;
        padding: 0 0 0 5px; background: transparent; }}
    QHeaderView::section {{ background: {tones.sheet}; color: {tones.muted}; border: none;
        border-bottom: 1px solid {tones.hairline}; padding: 3px 6px; }}
    QSplitter::handle {{ background: {tones.ground}; }}
    QSplitter::handle:hover {{ background: {tones.hairline}; }}
    QMenuBar {{ background: {tones.ground}; padding: 0 8px; }}
    QStatusBar {{ background: {tones.ground}; color: {tones.muted}; padding-left: 10px; }}
    QStatusBar::item {{ border: none; }}
    QScrollArea {{ border: none; background: transparent; }}
    QRadioButton::indicator {{ width: 12px; height: 12px; border: 1px solid {tones.muted};
        border-radius: 7px; background: {tones.field}; }}
    QRadioButton::indicator:checked {{ width: 6px; height: 6px; border: 4px solid {tones.accent};
        background: {tones.field}; }}
    QRadioButton:focus {{ color: {tones.accent}; text-decoration: underline; }}
    QLabel[quiet="true"] {{ color: {tones.muted}; }}
    QLabel[trouble="true"] {{ color: {tones.trouble}; }}
    """


def small(font: QFont) -> QFont:
    """Return the small text size, from the system's own."""
    return _scaled(font, 0.9)


def figure(font: QFont, *, large: float = 1.2) -> QFont:
    """Return the size for figures, with digits of one width."""
    font = _scaled(font, large)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def roomy(widget: QWidget, width: int, height: int) -> QSize:
    """Return a size for a window of pages or pictures: it grows with the screen, and fits it."""
    room = widget.screen().availableSize()
    return QSize(
        min(max(width, round(0.6 * room.width())), room.width() - 10 * UNIT),
        min(max(height, round(0.8 * room.height())), room.height() - 10 * UNIT),
    )


def _scaled(font: QFont, factor: float) -> QFont:
    font = QFont(font)
    if font.pointSizeF() > 0:
        font.setPointSizeF(font.pointSizeF() * factor)
    else:
        font.setPixelSize(round(font.pixelSize() * factor))
    return font
