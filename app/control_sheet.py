"""How fields, lists, ticks, tabs, menus and scroll bars look: hairlines and our own marks.

One part of the application's style sheet (`app.theme`). Marks are drawings in `assets/icons`,
named by mark and colour, since a style sheet can't colour them; `tests/app/test_control_sheet.py`
checks that every look has its own.
"""

from typing import TYPE_CHECKING, Final

from app.assets import FOLDER

_CHOICES_SEEN: Final = 16  # of a list below its field; more are scrolled to

if TYPE_CHECKING:  # the theme takes this sheet into its own
    from app.theme import Tones


def mark(name: str, colour: str) -> str:
    """Return the address of a mark in a colour, for a style sheet."""
    path = FOLDER / "icons" / f"{name}-{colour.removeprefix('#')}.svg"
    return f'url("{path.as_posix()}")'


def control_sheet(tones: "Tones") -> str:
    """Return the rules for controls in these tones."""
    down, up, right = (mark(name, tones.muted) for name in ("down", "up", "right"))
    no_down, no_up = (mark(name, tones.hairline) for name in ("down", "up"))
    tick = mark("tick", tones.on_accent)
    return f"""
    QComboBox, QAbstractSpinBox {{ background: {tones.field}; border: 1px solid {tones.edge};
        border-radius: 6px; }}
    QComboBox {{ padding: 2px 2px 2px 6px; min-height: 18px; combobox-popup: 0;
        qproperty-maxVisibleItems: {_CHOICES_SEEN}; }}
    QAbstractSpinBox {{ padding: 0; min-height: 22px; }}
    QComboBox:hover, QAbstractSpinBox:hover {{ border-color: {tones.accent}; }}
    QComboBox:focus {{ border: 2px solid {tones.accent}; padding: 1px 1px 1px 5px; }}
    QAbstractSpinBox:focus {{ border: 2px solid {tones.accent}; padding: 0; min-height: 20px; }}
    QAbstractSpinBox:focus QLineEdit {{ padding: 0 0 0 4px; }}
    QComboBox:disabled, QAbstractSpinBox:disabled {{ background: transparent;
        color: {tones.muted}; border-color: {tones.hairline}; }}
    QComboBox::drop-down {{ border: none; width: 20px; }}
    QComboBox::down-arrow {{ image: {down}; width: 12px; height: 12px; }}
    QComboBox::down-arrow:disabled {{ image: {no_down}; }}
    QComboBox QAbstractItemView {{ background: {tones.field}; border: 1px solid {tones.hairline};
        padding: 4px; outline: none; selection-background-color: {tones.accent};
        selection-color: {tones.on_accent}; }}
    QComboBox QAbstractItemView::item {{ min-height: 22px; padding: 0 6px; border-radius: 4px; }}
    QComboBox QAbstractItemView::item:selected {{ background: {tones.accent};
        color: {tones.on_accent}; }}
    QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ subcontrol-origin: border;
        width: 18px; border: none; background: transparent; }}
    QAbstractSpinBox::up-button {{ subcontrol-position: top right; margin: 2px 2px 0 0; }}
    QAbstractSpinBox::down-button {{ subcontrol-position: bottom right; margin: 0 2px 2px 0; }}
    QAbstractSpinBox::up-arrow {{ image: {up}; width: 9px; height: 9px; }}
    QAbstractSpinBox::down-arrow {{ image: {down}; width: 9px; height: 9px; }}
    QAbstractSpinBox::up-arrow:off, QAbstractSpinBox::up-arrow:disabled {{ image: {no_up}; }}
    QAbstractSpinBox::down-arrow:off, QAbstractSpinBox::down-arrow:disabled {{
        image: {no_down}; }}
    QAbstractSpinBox::up-button:hover, QAbstractSpinBox::down-button:hover {{
        background: {tones.sheet}; border-radius: 3px; }}
    QCheckBox {{ spacing: 4px; }}
    QCheckBox::indicator, QAbstractItemView::indicator {{ width: 14px; height: 14px;
        border: 1px solid {tones.muted}; border-radius: 4px; background: {tones.field}; }}
    QCheckBox::indicator:hover {{ border-color: {tones.accent}; }}
    QCheckBox::indicator:checked, QAbstractItemView::indicator:checked {{ image: {tick};
        background: {tones.accent}; border-color: {tones.accent}; }}
    QCheckBox::indicator:disabled {{ border-color: {tones.hairline}; background: transparent; }}
    QCheckBox::indicator:checked:disabled {{ background: {tones.muted}; }}
    QCheckBox::indicator:focus {{ width: 12px; height: 12px; border: 2px solid {tones.ink}; }}
    QScrollBar {{ background: transparent; border: none; margin: 0; }}
    QScrollBar:vertical {{ width: 12px; }}
    QScrollBar:horizontal {{ height: 12px; }}
    QScrollBar::handle {{ background: {tones.hairline}; border-radius: 3px; margin: 3px; }}
    QScrollBar::handle:vertical {{ min-height: 32px; }}
    QScrollBar::handle:horizontal {{ min-width: 32px; }}
    QScrollBar::handle:hover, QScrollBar::handle:pressed {{ background: {tones.muted}; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; border: none; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
    QTabWidget::pane {{ border: none; border-top: 1px solid {tones.hairline}; }}
    QTabBar {{ qproperty-drawBase: 0; }}
    QTabBar::tab {{ background: transparent; color: {tones.muted}; border: none;
        border-bottom: 2px solid transparent; padding: 6px 0; margin-right: 20px; }}
    QTabBar::tab:hover {{ color: {tones.accent}; }}
    QTabBar::tab:selected {{ color: {tones.ink}; border-bottom-color: {tones.accent}; }}
    QTabBar::tab:focus {{ color: {tones.accent}; }}
    QListWidget[lines="true"]::item {{ padding: 4px 6px; border-radius: 4px; }}
    QListWidget[lines="true"]::item:selected {{ background: {tones.accent};
        color: {tones.on_accent}; }}
    QListWidget[lines="true"] {{ outline: none; padding: 4px; }}
    QListWidget[lines="true"]:focus {{ padding: 3px; }}
    QTextBrowser {{ background: {tones.field}; border: 1px solid {tones.hairline};
        border-radius: 6px; padding: 8px; }}
    QTextBrowser:focus {{ border: 2px solid {tones.accent}; padding: 7px; }}
    QProgressBar {{ background: {tones.hairline}; border: none; border-radius: 3px;
        max-height: 6px; }}
    QProgressBar::chunk {{ background: {tones.accent}; border-radius: 3px; }}
    QMenu {{ background: {tones.field}; border: 1px solid {tones.hairline}; padding: 4px; }}
    QMenu::item {{ padding: 4px 24px 4px 8px; border-radius: 4px; }}
    QMenu::item:selected {{ background: {tones.accent}; color: {tones.on_accent}; }}
    QMenu::item:disabled {{ color: {tones.muted}; background: transparent; }}
    QMenu::separator {{ height: 1px; background: {tones.hairline}; margin: 4px 8px; }}
    QMenu::indicator {{ width: 12px; height: 12px; margin-left: 6px; border-radius: 3px;
        border: 1px solid {tones.muted}; background: transparent; }}
    QMenu::indicator:exclusive {{ border-radius: 7px; }}
    QMenu::indicator:checked {{ image: {tick}; background: {tones.accent};
        border-color: {tones.accent}; }}
    QMenu::indicator:unchecked:selected {{ border-color: {tones.on_accent}; }}
    QMenu::right-arrow {{ image: {right}; width: 12px; height: 12px; margin-right: 4px; }}
    QMenu::icon {{ margin-left: 4px; }}
    QFrame[slip="true"] {{ background: {tones.sheet}; border: 1px solid {tones.hairline}; }}
    QDialogButtonBox, QMessageBox {{ button-layout: 3; }}
    """
