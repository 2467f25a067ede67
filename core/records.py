"""What every record of the program is: a struct, nearly always a frozen one.

Structs are made faster than dataclasses, about 0.02 ms a class instead of 0.5 ms, and the window's
start makes some 150 of them. `Struct(eq=False)` for what holds arrays: such records are equal only
to themselves. To read files into structs is the business of `core.design` alone.
"""

from typing import Any

from msgspec import Struct, field, to_builtins
from msgspec.structs import replace

__all__ = ("Struct", "field", "names_of", "plain", "replace")


def names_of(record: Struct | type[Struct]) -> tuple[str, ...]:
    """Return the names of a record's fields in their order."""
    return record.__struct_fields__


def plain(record: Struct) -> dict[str, Any]:
    """Return a record as plain values by their names, those in it too."""
    values: dict[str, Any] = to_builtins(record)
    return values
