"""The shelf as a table of comma-separated values, for spreadsheets and other programs.

Open format (`core.design.spreadsheet`): UTF-8, the first line names the columns, every further
line is a yarn. Columns may come in any order; `name` and `colour` are needed, others may be
missing, unknown ones are refused.

    name              text
    colour            #rrggbb, sRGB
    fibre             text
    weight_class      0 (lace) to 7 (jumbo)
    metres_per_ball   number
    grams_per_ball    number
    dye_lot           text
    price_per_ball    number
    currency          text
    balls             whole balls
    remnants_g        grams of each remnant, "12.5 + 30"
    kept_at           text
    bought            2026-11-25
    notes             text, may have line breaks
    id                32 hexadecimal figures; what the yarn is known by

Numbers have a point; if the columns are set apart by semicolons or tabs, a comma will do too.
What is put aside isn't in the table (it is in the other form, `core.shelf.written`), so taking a
table in leaves it as it is. What a spreadsheet would take for a formula is written with an
apostrophe before it, and a text that begins with an apostrophe gets another; both are taken off
on the way in.
"""

from collections.abc import Callable, Iterable
from typing import Any, Final

from core.design import spreadsheet
from core.errors import DesignError
from core.shelf.entry import MOST_YARNS, Entry
from core.shelf.faults import ShelfError
from core.shelf.lists import Listed

COLUMNS: Final = {
    "name": "name",
    "colour": "colour",
    "fibre": "fibre",
    "weight_class": "weight",
    "metres_per_ball": "ball_m",
    "grams_per_ball": "ball_g",
    "dye_lot": "lot",
    "price_per_ball": "price",
    "currency": "currency",
    "balls": "balls",
    "remnants_g": "remnants",
    "kept_at": "place",
    "bought": "bought",
    "notes": "notes",
    "id": "uid",
}
_NEEDED: Final = ("name", "colour")
_NUMBERS: Final = ("ball_m", "ball_g", "price")


def shelf_table(entries: Iterable[Entry]) -> bytes:
    """Return the table of these entries as a file."""
    lines = [[_cell(entry, field) for field in COLUMNS.values()] for entry in entries]
    return spreadsheet.table_bytes(tuple(COLUMNS), lines)


def read_table(text: str) -> tuple[Listed, ...]:
    """Return the yarns of a table.

    Raises:
        ShelfError: It is no such table; the sentence names the line.
    """
    table = spreadsheet.read_table(text)
    try:
        return _all_listed(table)
    except ShelfError:
        raise
    except DesignError as error:
        raise ShelfError("refused", str(error)) from error


def _all_listed(table: spreadsheet.Table) -> tuple[Listed, ...]:
    head = next(table.lines, None)
    fields = _fields(head.cells if head else ())
    listed: list[Listed] = []
    for line in table.lines:
        if len(listed) >= MOST_YARNS:
            raise ShelfError("refused", f"The table has more than {MOST_YARNS:,} yarns.")
        where = f"Line {line.number}"
        if len(line.cells) != len(fields):
            raise ShelfError(
                "refused",
                f"{where} has {len(line.cells)} columns, the first line {len(fields)}.",
            )
        values = {
            field: _value(field, cell, where, comma=table.separator != ",")
            for field, cell in zip(fields, line.cells, strict=True)
        }
        listed.append(Listed.of(values, where))
    return tuple(listed)


def _fields(heads: tuple[str, ...]) -> list[str]:
    names = [head.strip().casefold() for head in heads]
    for name in names:
        if name not in COLUMNS:
            raise ShelfError(
                "refused",
                f"The first line has a column \"{name[:40]}\", which a shelf's table doesn't. "
                f"It may have {', '.join(COLUMNS)}.",
            )
        if names.count(name) > 1:
            raise ShelfError("refused", f'The first line has the column "{name}" twice.')
    for name in _NEEDED:
        if name not in names:
            raise ShelfError("refused", f'The first line has no column "{name}".')
    return [COLUMNS[name] for name in names]


def _cell(entry: Entry, field: str) -> spreadsheet.Cell:
    if field == "remnants":
        return " + ".join(f"{grams!r}" for grams in entry.remnants)
    value: spreadsheet.Cell = getattr(entry, field)
    return value


def _value(field: str, cell: str, where: str, *, comma: bool) -> Any:
    if field in _NUMBERS:
        return _number(cell, where, float, comma=comma) if cell.strip() else None
    if field in ("weight", "balls"):
        return _number(cell, where, int, comma=comma) if cell.strip() else None
    if field == "remnants":
        return tuple(_number(g, where, float, comma=comma) for g in cell.split("+") if g.strip())
    return cell.replace("\r\n", "\n") if field == "notes" else cell.strip()


def _number(cell: str, where: str, kind: Callable[[str], Any], *, comma: bool) -> Any:
    text = cell.strip().replace(",", ".") if comma else cell.strip()
    try:
        if not text.isascii() or len(text) > 40 or "_" in text:
            raise ValueError
        return kind(text)
    except ValueError:
        raise ShelfError("refused", f'{where}: "{cell.strip()[:40]}" is no number.') from None
