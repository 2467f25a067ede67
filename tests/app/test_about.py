"""What the program is made of, and that it says so."""

import json
import tomllib
from pathlib import Path

from PySide6.QtWidgets import QLabel
from some import some

from app import licences
from app.about_dialog import AboutDialog
from core import __version__

ROOT = Path(__file__).resolve().parents[2]


def test_every_package_that_is_needed_to_run_is_named_with_its_licence():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = {line.split(">")[0].split("<")[0].lower() for line in project["dependencies"]}
    named = {part.name.lower().replace("_", "-"): part for part in licences.components()}
    assert needed <= set(named)
    assert all(named[name].licence and named[name].version for name in needed)


def test_every_component_has_a_licence_text():
    for part in some(licences.components()):
        assert len(part.text) > 50, part.name


def test_collected_licences_are_read_back_as_they_were(tmp_path, monkeypatch):
    before = licences.components()
    licences.write_collected(tmp_path)
    assert len(json.loads((tmp_path / "index.json").read_text())) == len(before)
    monkeypatch.setattr(licences, "_COLLECTED", tmp_path)
    assert licences.components() == before


def test_the_dialog_shows_the_version_and_the_chosen_licence(qtbot):
    dialog = AboutDialog()
    qtbot.addWidget(dialog)
    words = [label.text() for label in dialog.findChildren(QLabel)]
    assert f"Version {__version__}" in words
    names = [dialog.list.item(row).text() for row in range(dialog.list.count())]
    row = next(row for row, name in enumerate(names) if name.startswith("numpy"))
    dialog.list.setCurrentRow(row)
    assert "NumPy" in dialog.text.toPlainText()
