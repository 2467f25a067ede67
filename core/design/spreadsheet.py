"""Tables as files that any spreadsheet reads (RFC 4180), and that can't make it run anything.

A spreadsheet takes a cell that begins with = + - @ for a formula, quoted or not, and a tab or a
carriage return before one doesn't keep it from that (OWASP, "CSV Injection",
https://owasp.org/www-community/attacks/CSV_Injection). Such words get an apostrophe in front. The
page also warns of separators inside a cell: a spreadsheet that splits at semicolons reads what
stands behind one as a cell of its own, so an apostrophe goes there too. Words that begin with an
apostrophe get another one, so that reading takes off just what writing put there. Numbers stay
numbers: they come from the program and nothing else.

The file begins with a byte order mark. Without it one spreadsheet takes the file for the local
code page and spoils every name that isn't plain English; with it the worst known is a reader that
sees one more sign before the first heading.
"""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from typing import Final

from core.errors import DesignError
from core.records import Struct

Cell = str | int | float | None

BOM: Final = "\ufeff"
_STARTS: Final = "=+\\-@\uff1d\uff0b\uff0d\uff20\u2212"  # full width, and the minus sign
_FORMULA: Final = rf"[\s\u200b\u2060\ufeff]*[{_STARTS}\t\r\n]"
_PARTS: Final = "[,;|\"'\\t\\r\\n]"
_RISKY: Final = re.compile(rf"(\A(?={_FORMULA}|')|{_PARTS}(?={_FORMULA}))")
_DISARMED: Final = re.compile(rf"(\A)'(?={_FORMULA}|')|({_PARTS})'(?={_FORMULA})")


def harmless(text: str) -> str:
    """Return words that no spreadsheet takes for a formula."""
    return _RISKY.sub(r"\1'", text)


def as_it_was(cell: str) -> str:
    """Return the words that `harmless` made a cell of."""
    return _DISARMED.sub(r"\1\2", cell)


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


def text_of(data: bytes) -> str:
    """Return the text of a file, which may begin with the mark.

    Raises:
        UnicodeDecodeError: It isn't UTF-8.
    """
    return data.decode().removeprefix(BOM)


class Line(Struct, frozen=True):
    """A line of a table.

    Attributes:
        number: Of the file's line it ends in, from 1.
        cells: Its words, as they were before they were made harmless.
    """

    number: int
    cells: tuple[str, ...]


class Table(Struct, frozen=True):
    """A table being read, line by line.

    Attributes:
        separator: What sets its columns apart: a comma, a semicolon or a tab.
        lines: Its lines that aren't empty, the head first.
    """

    separator: str
    lines: Iterator[Line]


def read_table(text: str) -> Table:
    """Return a table by its text.

    Raises:
        DesignError: While its lines are taken, if one is none; the sentence names it.
    """
    text = text.removeprefix(BOM)
    first = text.partition("\n")[0]
    separator = max((",", ";", "\t"), key=first.count)
    return Table(separator, _lines(text, separator))


def _lines(text: str, separator: str) -> Iterator[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        for raw in reader:
            cells = tuple(as_it_was(cell) for cell in raw)
            if any(cell.strip() for cell in cells):
                yield Line(reader.line_num, cells)
    except csv.Error as error:
        raise DesignError(f"Line {reader.line_num} isn't a table's: {error}.") from error


def _cell(cell: Cell) -> Cell:
    if cell is None:
        return ""
    return harmless(cell) if isinstance(cell, str) else cell
