"""Tests of the core run where there is no Qt at all: none of them imports it, or the window."""

import ast
from pathlib import Path

HERE = Path(__file__).parent
SCREEN = {"app", "PySide6", "shiboken6", "pyqtgraph", "pytestqt", "hostile", "screens", "desk"}


def imported(path):
    """Return the first parts of the names that a module imports, in functions too."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {one.name.split(".")[0] for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module is not None:
            found.add(node.module.split(".")[0])
    return found


def test_no_test_of_the_core_imports_the_screen():
    paths = sorted(HERE.glob("*.py"))
    assert len(paths) > 90
    assert {path.name: both for path in paths if (both := imported(path) & SCREEN)} == {}


def test_the_search_sees_an_import(tmp_path):
    path = tmp_path / "x.py"
    path.write_text("def f():\n    from PySide6.QtCore import Qt\n    import app.views\n")
    assert imported(path) == {"PySide6", "app"}
