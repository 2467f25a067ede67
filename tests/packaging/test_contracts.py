"""The import contracts of pyproject.toml leave out no part of the program."""

import ast
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONTRACTS = {
    one["name"]: one
    for one in tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"][
        "importlinter"
    ]["contracts"]
}
QT_THREADS = {"QThread", "QThreadPool", "QRunnable", "QtConcurrent"}


def parts_of_core():
    return {
        f"core.{path.stem}"
        for path in (ROOT / "core").iterdir()
        if path.suffix == ".py" or (path / "__init__.py").exists()
    } - {"core.__init__"}


@pytest.mark.parametrize(
    ("name", "library", "owners"),
    [
        (
            "only core.design and core.records know the file library",
            "msgspec",
            {"core.design", "core.records"},
        ),
        ("only core.shelf knows the library of the shelf's file", "sqlite3", {"core.shelf"}),
    ],
)
def test_every_part_but_the_owners_is_kept_from_a_library(name, library, owners):
    contract = CONTRACTS[name]
    assert library in contract["forbidden_modules"]
    assert owners < parts_of_core()
    assert set(contract["source_modules"]) == parts_of_core() - owners | {"app"}


def test_no_part_starts_threads_of_pythons_own():
    contract = CONTRACTS["only computing starts threads"]
    assert contract["source_modules"] == ["core", "app"]
    assert {"threading", "_thread", "concurrent"} <= set(contract["forbidden_modules"])


def names_used(path):
    """Return every name that a module uses; to ask which thread it is on is no use of one."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    asking = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr == "currentThread"
    }
    return {
        node.id if isinstance(node, ast.Name) else node.attr
        for node in ast.walk(tree)
        if isinstance(node, ast.Name | ast.Attribute) and id(node) not in asking
    }


def test_only_computing_takes_threads_of_qt():
    paths = sorted((ROOT / "app").rglob("*.py"))
    takers = {path.relative_to(ROOT).as_posix() for path in paths if names_used(path) & QT_THREADS}
    assert takers == {"app/computing.py"}
