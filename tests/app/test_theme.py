"""The window's tones: every pair used for text passes WCAG 2.2 AA."""

import subprocess
import sys
from pathlib import Path

import pytest
from coloraide import Color
from PySide6.QtCore import Qt

from app.theme import DARK, LIGHT, STRONG_DARK, STRONG_LIGHT, Theme

# WCAG 2.2, success criteria 1.4.3 (text, 4.5 : 1) and 1.4.11 (parts of controls, 3 : 1).
TEXT, PARTS = 4.5, 3.0

ROOT = Path(__file__).resolve().parents[2]


def ratio(one, other):
    return Color(one).contrast(other, method="wcag21")


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "sheet", "field"])
@pytest.mark.parametrize("text", ["ink", "muted", "accent", "trouble"])
def test_text_can_be_read_on_every_ground(tones, ground, text):
    assert ratio(getattr(tones, text), getattr(tones, ground)) >= TEXT


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "sheet", "field"])
def test_a_field_stands_out_from_what_it_lies_on(tones, ground):
    assert ratio(tones.edge, getattr(tones, ground)) >= PARTS


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_text_on_the_accent_can_be_read(tones):
    assert ratio(tones.on_accent, tones.accent) >= TEXT


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_trouble_and_accent_can_be_told_from_each_other_in_grey_or_by_their_sign(tones):
    # Trouble never stands alone: the sentence adds a sign, checks add a word.
    assert tones.trouble != tones.accent
    assert ratio(tones.trouble, tones.sheet) >= PARTS


STRONG = pytest.mark.parametrize("tones", [STRONG_LIGHT, STRONG_DARK], ids=["light", "dark"])


@STRONG
@pytest.mark.parametrize("ground", ["ground", "sheet", "field"])
@pytest.mark.parametrize("text", ["ink", "muted", "accent", "trouble", "hairline", "edge"])
def test_high_contrast_is_seven_to_one_and_lines_are_lines(tones, ground, text):
    # WCAG 2.2, success criterion 1.4.6 (enhanced contrast).
    assert ratio(getattr(tones, text), getattr(tones, ground)) >= 7.0


@STRONG
def test_text_on_the_accent_is_seven_to_one_in_high_contrast(tones):
    assert ratio(tones.on_accent, tones.accent) >= 7.0


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["ground", "sheet", "field"])
def test_the_edge_of_what_is_typed_into_can_be_seen(tones, ground):
    assert ratio(tones.edge, getattr(tones, ground)) >= PARTS  # 1.4.11


def test_contrast_follows_the_system_until_one_is_chosen(qapp, monkeypatch):
    theme = Theme()
    theme.set_look("light")
    wanted = Qt.ContrastPreference.HighContrast

    class Hints:
        def contrastPreference(self):
            return wanted

    class System:
        def accessibility(self):
            return Hints()

        def colorScheme(self):
            return Qt.ColorScheme.Light

    monkeypatch.setattr(theme, "_hints", System())
    assert theme.tones is STRONG_LIGHT
    wanted = Qt.ContrastPreference.NoPreference
    assert theme.tones is LIGHT
    theme.set_contrast("high")
    assert theme.tones is STRONG_LIGHT
    theme.set_look("dark")
    assert theme.tones is STRONG_DARK
    theme.set_contrast("plain")
    wanted = Qt.ContrastPreference.HighContrast
    assert theme.tones is DARK


CONTRAST_CHANGES = """
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication
from app.theme import Theme
app = QApplication([])
theme, heard = Theme(), []
theme.changed.connect(lambda: heard.append(theme.tones))
hints = QGuiApplication.styleHints().accessibility()
hints.contrastPreferenceChanged.emit(Qt.ContrastPreference.HighContrast)
assert heard
theme.set_contrast("high")
assert app.palette().color(QPalette.ColorRole.WindowText).name() in ("#000000", "#ffffff")
"""


def test_a_change_of_the_systems_contrast_dresses_the_window_anew():
    """In a process of its own: every theme of the program hears the system."""
    done = subprocess.run(
        [sys.executable, "-c", CONTRAST_CHANGES], capture_output=True, text=True, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
