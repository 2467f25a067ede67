"""Paper and ink: the window's colours and sizes, light and dark, following the system.

Contrast of every pair used for text is checked in `tests/app/test_theme.py` (WCAG 2.2 AA).
"""

from typing import Final, Literal

from PySide6.QtCore import QObject, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QPainter, QPalette, QPen
from PySide6.QtWidgets import QApplication, QWidget

from app.control_sheet import control_sheet
from app.focus_ring import put_ring
from app.type_following import follow_type
from core.records import Struct

UNIT: Final = 8  # px of the spacing grid


class Tones(Struct, frozen=True, kw_only=True):
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
        is_strong: Whether they are those of high contrast: lines are as dark as text.
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
    is_strong: bool = False


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
STRONG_LIGHT: Final = Tones(
    ground="#ffffff",
    sheet="#ffffff",
    field="#ffffff",
    ink="#000000",
    muted="#2b2b2b",
    hairline="#000000",
    edge="#000000",
    accent="#003a70",
    on_accent="#ffffff",
    trouble="#7d0000",
    is_dark=False,
    is_strong=True,
)
STRONG_DARK: Final = Tones(
    ground="#000000",
    sheet="#000000",
    field="#000000",
    ink="#ffffff",
    muted="#e0e0e0",
    hairline="#ffffff",
    edge="#ffffff",
    accent="#ffe14d",
    on_accent="#000000",
    trouble="#ffb0a0",
    is_dark=True,
    is_strong=True,
)


Look = Literal["system", "light", "dark"]
Contrast = Literal["system", "plain", "high"]


class Theme(QObject):
    """The tones in force; says when the system or the user changes from light to dark."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._look: Look = "system"
        self._contrast: Contrast = "system"
        self._hints = QGuiApplication.styleHints()
        self._hints.colorSchemeChanged.connect(self._on_scheme)
        self._hints.accessibility().contrastPreferenceChanged.connect(self._on_scheme)

    @property
    def tones(self) -> Tones:
        """The tones that were chosen, or that fit the system's scheme."""
        dark = self._look == "dark"
        if self._look == "system":
            dark = self._hints.colorScheme() == Qt.ColorScheme.Dark
        if self.is_strong:
            return STRONG_DARK if dark else STRONG_LIGHT
        return DARK if dark else LIGHT

    @property
    def is_strong(self) -> bool:
        """Whether contrast is high, as was chosen or as the system wants it."""
        if self._contrast == "system":
            wanted = self._hints.accessibility().contrastPreference()
            return wanted == Qt.ContrastPreference.HighContrast
        return self._contrast == "high"

    @property
    def contrast(self) -> Contrast:
        """Whether the system decides on contrast, or what was chosen instead."""
        return self._contrast

    def set_contrast(self, contrast: Contrast) -> None:
        """Follow the system's contrast, or stay plain or high."""
        self._contrast = contrast
        self._on_scheme()

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
            sheets = style_sheet(self.tones) + control_sheet(self.tones)
            app.setStyleSheet(sheets + (strong_rules(self.tones) if self.tones.is_strong else ""))
            put_ring(app)
            follow_type()

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
    """Return the few rules that the palette can't say.

    A border and the room inside it are always as wide together, so nothing moves when it grows.
    """
    thin, thick = (2, 3) if tones.is_strong else (1, 2)  # px of a border, of one with the focus

    def edge(width: int, colour: str, down: int, across: int) -> str:
        inside = f"{max(down - width, 0)}px {max(across - width, 0)}px"
        return f"border: {width}px solid {colour}; padding: {inside};"

    return f"""
    QMainWindow, QDialog {{ background: {tones.ground}; }}
    QToolTip {{ background: {tones.field}; color: {tones.ink}; border: 1px solid {tones.hairline};
        padding: 4px; }}
    QPushButton, QToolButton {{ background: transparent; border-radius: 6px;
        {edge(thin, tones.hairline, 5, 11)} }}
    QToolButton {{ {edge(thin, tones.hairline, 5, 9)} }}
    QPushButton:hover, QToolButton:hover {{ background: {tones.field};
        border-color: {tones.accent}; }}
    QPushButton:checked, QToolButton:checked {{ background: {tones.accent};
        color: {tones.on_accent}; border-color: {tones.accent}; }}
    QToolButton[fold="true"] {{ border: none; border-top: {thin}px solid {tones.hairline};
        border-radius: 0; padding: {9 - thin}px 0 4px 0; text-align: left; }}
    QToolButton[fold="true"]:checked {{ background: transparent; color: {tones.ink};
        border-color: {tones.hairline}; }}
    QToolButton[fold="true"]:hover {{ color: {tones.accent}; background: transparent; }}
    QToolButton[segment="first"] {{ border-top-right-radius: 0; border-bottom-right-radius: 0; }}
    QToolButton[segment="middle"] {{ border-radius: 0; border-left: none; }}
    QToolButton[segment="last"] {{ border-top-left-radius: 0; border-bottom-left-radius: 0;
        border-left: none; }}
    QPushButton[quiet="true"] {{ color: {tones.muted}; text-decoration: underline;
        {edge(thin, "transparent", 2, 6)} }}
    QPushButton[quiet="true"]:hover {{ color: {tones.accent}; background: transparent;
        border-color: transparent; }}
    QPushButton[primary="true"] {{ background: {tones.accent}; color: {tones.on_accent};
        border-color: {tones.accent}; font-weight: 600; }}
    QPushButton[primary="true"]:disabled {{ background: transparent; color: {tones.muted};
        border-color: {tones.hairline}; }}
    QLineEdit, QPlainTextEdit, QTextBrowser, QListWidget, QTableWidget {{
        background: {tones.field}; border-radius: 6px; {edge(thin, tones.hairline, 4, 7)} }}
    QLineEdit, QPlainTextEdit {{ border-color: {tones.edge}; }}
    QLineEdit:focus, QPlainTextEdit:focus, QTextBrowser:focus, QListWidget:focus,
    QTableWidget:focus {{ {edge(thick, tones.accent, 4, 7)} }}
    QListView[rows="true"], QTableView[rows="true"] {{ background: {tones.field};
        border-radius: 6px; {edge(thin, tones.hairline, 2, 2)} }}
    QListView[rows="true"]:focus, QTableView[rows="true"]:focus {{
        {edge(thick, tones.accent, 2, 2)} }}
    QAbstractSpinBox QLineEdit, QComboBox QLineEdit {{ border: none;
        padding: 0 0 0 5px; background: transparent; }}
    QHeaderView::section {{ background: {tones.sheet}; color: {tones.muted}; border: none;
        border-bottom: {thin}px solid {tones.hairline}; padding: 3px 6px; }}
    QSplitter::handle {{ background: {tones.ground}; }}
    QSplitter::handle:hover {{ background: {tones.edge}; }}
    QMenuBar {{ background: {tones.ground}; padding: 0 8px; }}
    QStatusBar {{ background: {tones.ground}; color: {tones.muted}; }}
    QStatusBar::item {{ border: none; }}
    QScrollArea {{ border: none; background: transparent; }}
    QScrollArea:focus {{ border: {thick}px solid {tones.accent}; }}
    QRadioButton::indicator {{ width: 12px; height: 12px; border: 1px solid {tones.muted};
        border-radius: 7px; background: {tones.field}; }}
    QRadioButton::indicator:checked {{ width: 6px; height: 6px; border: 4px solid {tones.accent};
        background: {tones.field}; }}
    QLabel[quiet="true"] {{ color: {tones.muted}; }}
    QLabel[trouble="true"] {{ color: {tones.trouble}; }}
    """


def strong_rules(tones: Tones) -> str:
    """Return lines round what the style only shades: boxes to choose from, numbers, ticks."""
    return f"""
    QComboBox {{ border: 2px solid {tones.ink}; border-radius: 4px;
        padding: 1px 4px; background: {tones.field}; color: {tones.ink}; }}
    QComboBox:disabled {{ border-style: dashed; }}
    QAbstractSpinBox QLineEdit {{ border: 2px solid {tones.ink}; padding: 0 2px; }}
    QCheckBox::indicator {{ width: 11px; height: 11px; border: 2px solid {tones.ink};
        background: {tones.field}; }}
    QCheckBox::indicator:checked {{ background: {tones.ink}; }}
    QMenu {{ border: 2px solid {tones.ink}; background: {tones.ground}; }}
    """


def paint_focus(painter: QPainter, around: QRect, tones: Tones) -> None:
    """Frame a painted view that keys act on (WCAG 2.2, 2.4.7 and 2.4.13)."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    pen = QPen(QColor(tones.accent), 3 if tones.is_strong else 2)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.drawRect(around.adjusted(1, 1, -1, -1))


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
