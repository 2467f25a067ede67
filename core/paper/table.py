"""Tables as files that any spreadsheet reads (RFC 4180), and that can't make it run anything.

A spreadsheet takes a cell that begins with = + - @ for a formula, quoted or not, and a tab or a
carriage return before one doesn't keep it from that (OWASP, "CSV Injection"; from memory). Such
words get an apostrophe in front. The page also warns of separators inside a cell: a spreadsheet
that splits at semicolons reads what stands behind one as a cell of its own, so an apostrophe goes
there too. Numbers stay numbers: they come from the program and nothing else.

The file begins with a byte order mark. Without it one spreadsheet takes the file for the local
code page and spoils every name that isn't plain English; with it the worst known is a reader that
sees one more sign before the first heading.
"""

import csv
import io
import re
from collections.abc import Sequence
from typing import Final

Cell = str | int | float | None

BOM: Final = "\ufeff"
_STARTS: Final = "=+\\-@\uff1d\uff0b\uff0d\uff20\u2212"  # full width, and the minus sign
_RISKY: Final = re.compile(rf"(\A|[,;|\"'\t\r\n])(?=[\s\u200b\u2060\ufeff]*[{_STARTS}\t\r\n])")


def harmless(text: str) -> str:
    """Return words that no spreadsheet takes for a formula."""
    return _RISKY.sub(r"\1'", text)


def table_bytes(head: Sequence[str], lines: Sequence[Sequence[Cell]]) -> bytes:
    """Return a table as a file: words in quotes, numbers bare with a point, lines ended by CRLF.

    Raises:
        ValueError: A line has more or fewer cells than the head.
    """
    if any(len(line) != len(head) for line in lines):
        raise ValueError("every line of a table has as many cells as its head")
    text = io.StringIO(newline="")
    writer = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    for line in (head, *lines):
        writer.writerow([_cell(cell) for cell in line])
    return (BOM + text.getvalue()).encode()


def _cell(cell: Cell) -> Cell:
    if cell is None:
        return ""
    return harmless(cell) if isinstance(cell, str) else cell
