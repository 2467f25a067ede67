"""The shelf written out whole, with what is put aside: JSON.

    {"format": "dipslope-shelf", "version": 1, "yarns": [{"name": ..., "colour": "#rrggbb", ...}]}

The keys of a yarn are those of `core.shelf.entry.Entry`; `remnants` is a list of grams, `asides` a
list of {"title": ..., "grams": ...}. Keys that say nothing may be left out, unknown ones are
refused.
"""

import json
from collections.abc import Iterable
from typing import Any, Final

from core.records import names_of, plain
from core.shelf.entry import MOST_YARNS, Aside, Entry
from core.shelf.faults import ShelfError
from core.shelf.lists import Listed

FORMAT: Final = "dipslope-shelf"
VERSION: Final = 1

_FIELDS: Final = tuple(name for name in names_of(Entry))
_NUMBERS: Final = ("ball_m", "ball_g", "price")
_WHOLE: Final = ("weight", "balls")


def written_text(entries: Iterable[Entry]) -> str:
    """Return the text of these entries; the same ones give the same text."""
    raw = {"format": FORMAT, "version": VERSION, "yarns": [plain(entry) for entry in entries]}
    return json.dumps(raw, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def read_written(text: str) -> tuple[Listed, ...]:
    """Return the yarns of such a text.

    Raises:
        ShelfError: It is none; the sentence says where.
    """
    try:
        raw = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        where = f" (line {line})" if line else ""
        raise ShelfError("refused", f"This file isn't a whole list of yarns{where}.") from None
    if not isinstance(raw, dict) or raw.get("format") != FORMAT:
        raise ShelfError("refused", "This file isn't a list of yarns from a shelf.")
    if raw.get("version") != VERSION:
        raise ShelfError("refused", "This list was written by a newer version of the program.")
    yarns = raw.get("yarns")
    if not isinstance(yarns, list) or set(raw) != {"format", "version", "yarns"}:
        raise ShelfError("refused", 'A list has "format", "version" and "yarns", nothing else.')
    if len(yarns) > MOST_YARNS:
        raise ShelfError("refused", f"The list has more than {MOST_YARNS:,} yarns.")
    return tuple(_listed(yarn, f"Yarn {number}") for number, yarn in enumerate(yarns, 1))


def _listed(raw: Any, where: str) -> Listed:
    if not isinstance(raw, dict):
        raise ShelfError("refused", f"{where} of the list isn't a yarn.")
    values: dict[str, Any] = {}
    for key, value in raw.items():
        if key not in _FIELDS:
            raise ShelfError("refused", f'{where} has "{key[:40]}", which no yarn has.')
        values[key] = _value(key, value, where)
    return Listed.of(values, where)


def _value(key: str, value: Any, where: str) -> Any:
    if key in _NUMBERS and (value is None or _is_number(value)):
        return None if value is None else float(value)
    if key in _WHOLE and (value is None or (_is_number(value) and isinstance(value, int))):
        return value
    if key == "remnants" and isinstance(value, list) and all(map(_is_number, value)):
        return tuple(float(grams) for grams in value)
    if key == "asides" and isinstance(value, list):
        return tuple(_aside(one, where) for one in value)
    if key not in (*_NUMBERS, *_WHOLE, "remnants", "asides") and isinstance(value, str):
        return value
    raise ShelfError("refused", f'{where}: "{key}" isn\'t what it should be.')


def _aside(raw: Any, where: str) -> Aside:
    if (
        isinstance(raw, dict)
        and set(raw) == {"title", "grams"}
        and isinstance(raw["title"], str)
        and _is_number(raw["grams"])
    ):
        return Aside(raw["title"], float(raw["grams"]))
    raise ShelfError("refused", f"{where}: what is put aside has a title and grams.")


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e15


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no number")
