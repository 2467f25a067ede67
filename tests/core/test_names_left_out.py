"""What the program says names nobody: sources stand in docstrings, tests and DEVELOPERS."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "tests" / "files" / "published_ripples.json"
SITE = re.compile(r"\b[\w-]+\.(?:com|org|net|co\.uk|blogspot)\b", re.I)
FORMATS = ("http://www.w3.org/",)  # names of file formats, which nobody reads
TOO_PLAIN = {"www", "blog", "free", "media", "web"}


def sayings(path: Path) -> Iterator[tuple[int, str]]:
    """Yield a module's strings that aren't docstrings, with their lines."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    notes = {
        id(one.value)
        for node in ast.walk(tree)
        if isinstance(body := getattr(node, "body", None), list)
        for one in body
        if isinstance(one, ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in notes:
            yield node.lineno, node.value


def known_names() -> set[str]:
    """Return the names of the sites that the published pieces of the tests come from."""
    found = set()
    for piece in re.findall(r"https?://[^\s\"]+", PUBLISHED.read_text(encoding="utf-8")):
        found |= set(urlsplit(piece).netloc.casefold().split(".")[:-1])
    return {name for name in found if len(name) > 6} - TOO_PLAIN


def test_no_sentence_of_the_program_names_a_site():
    names = known_names()
    assert "bumpydoink" in names
    found = [
        f"{path.relative_to(ROOT)}:{line}: {text[:60]}"
        for package in ("core", "app")
        for path in sorted((ROOT / package).rglob("*.py"))
        for line, text in sayings(path)
        if not text.startswith(FORMATS)
        and (SITE.search(text) or set(re.findall(r"\w+", text.casefold())) & names)
    ]
    assert not found, "\n".join(found)
