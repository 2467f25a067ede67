"""Every field of the design's structs is bounded, and each bound is the one that is kept.

The table of bounds is made from the structs themselves; run this file to print it.
"""

import math
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import msgspec
import pytest
from msgspec import inspect
from some import some

from core.design import document, plan
from core.design.document import Design, Item, Row, Wave


@dataclass(frozen=True)
class Bound:
    """One value of a design file: where it stands, of what kind it is, how far it may go."""

    struct: str
    field: str
    kind: str
    low: Any
    high: Any
    optional: bool

    @property
    def name(self) -> str:
        return f"{self.struct}.{self.field}"

    @property
    def text(self) -> str:
        if self.kind == "one of":
            return " or ".join(repr(word) for word in self.low)
        if self.kind in ("yes or no", "part"):
            return self.kind
        return f"{self.kind}, {self.low:,g} to {self.high:,g}"


def structs() -> list[type[msgspec.Struct]]:
    found = [
        kind
        for module in (document, plan)
        for kind in vars(module).values()
        if isinstance(kind, type)
        and issubclass(kind, msgspec.Struct)
        and kind is not msgspec.Struct
    ]
    return list(dict.fromkeys(found))


def bounds() -> list[Bound]:
    """Return every value that a design may hold, list entries too."""
    found = []
    for struct in some(structs()):
        about = inspect.type_info(struct)
        assert isinstance(about, inspect.StructType)
        for field in about.fields:
            found += _of(struct.__name__, field.encode_name, field.type, False)
    return found


def _of(struct: str, field: str, kind: inspect.Type, optional: bool) -> Iterator[Bound]:
    match kind:
        case inspect.Metadata():
            yield from _of(struct, field, kind.type, optional)
        case inspect.UnionType(types=types):
            rest = [one for one in types if not isinstance(one, inspect.NoneType)]
            for one in rest:
                yield from _of(struct, field, one, True)
        case inspect.StrType(min_length=low, max_length=high, pattern=pattern):
            if high is None and pattern == r"\A#[0-9A-Fa-f]{6}\Z":
                low = high = 7  # the pattern itself is as long
            yield Bound(struct, field, "characters", low or 0, high, optional)
        case inspect.IntType(ge=low, le=high):
            yield Bound(struct, field, "whole", low, high, optional)
        case inspect.FloatType(ge=low, le=high):
            yield Bound(struct, field, "number", low, high, optional)
        case inspect.LiteralType(values=values):
            yield Bound(struct, field, "one of", values, None, optional)
        case inspect.BoolType():
            yield Bound(struct, field, "yes or no", None, None, optional)
        case inspect.VarTupleType(min_length=low, max_length=high, item_type=item):
            yield Bound(struct, field, "entries", low or 0, high, optional)
            yield from _of(struct, f"{field}[]", item, False)
        case inspect.StructType():
            yield Bound(struct, field, "part", None, None, optional)
        case _:
            raise AssertionError(f"{struct}.{field}: a kind that nothing here bounds: {kind}")


def table() -> str:
    """Return the bounds as lines, a struct each."""
    lines = []
    for struct in some(structs()):
        values = [b for b in bounds() if b.struct == struct.__name__ and b.kind != "part"]
        told = "; ".join(f"`{b.field}` {b.text}{' or null' if b.optional else ''}" for b in values)
        lines.append(f"| {struct.__name__} | {told or 'parts only'} |")
    return "\n".join(["| part | bounds |", "| --- | --- |", *lines])


@pytest.mark.parametrize("bound", bounds(), ids=lambda bound: bound.name)
def test_every_value_has_its_bounds(bound):
    if bound.kind in ("whole", "number", "entries", "characters"):
        assert bound.low is not None, f"{bound.name} has no least"
        assert bound.high is not None, f"{bound.name} has no most"
        assert math.isfinite(bound.low) and math.isfinite(bound.high)
        assert bound.low <= bound.high
    if bound.kind == "whole":
        assert abs(bound.high) < 2**53  # as JSON readers everywhere take it
    if bound.kind == "entries":
        assert bound.high <= 2000
    if bound.kind == "characters":
        assert bound.high <= 20_000


def test_every_struct_refuses_what_it_does_not_know():
    for struct in some(structs()):
        config = struct.__struct_config__
        assert config.frozen and config.forbid_unknown_fields, struct.__name__


def test_no_struct_of_a_design_is_left_out():
    """Walk from the design itself: what can be reached is among those listed."""
    reached, waiting = set(), [Design]
    while waiting:
        struct = waiting.pop()
        if struct in reached:
            continue
        reached.add(struct)
        for annotation in struct.__annotations__.values():
            stack = [annotation]
            while stack:
                one = stack.pop()
                stack += get_args(one)
                if isinstance(one, type) and issubclass(one, msgspec.Struct):
                    waiting.append(one)
    assert reached <= set(structs())
    assert len(reached) >= 20


def numbers() -> list[Bound]:
    return [
        bound for bound in bounds() if bound.kind in ("whole", "number", "characters", "entries")
    ]


# What a struct asks for beyond its fields' bounds.
_NEEDED: dict[type, dict[str, Any]] = {
    Item: {"stitch": "dc"},
    Row: {"repeat": [{"stitch": "dc"}]},
    Wave: {"repeat": [{"stitch": "dc"}]},
}


def sound(kind: inspect.Type) -> Any:
    """Return the least value of a kind, as it stands in a file."""
    match kind:
        case inspect.Metadata():
            return sound(kind.type)
        case inspect.UnionType(types=types):
            return sound(next(one for one in types if not isinstance(one, inspect.NoneType)))
        case inspect.StrType(min_length=low, pattern=pattern):
            signs = ("", "a", "#000000", "2020-01-31")
            fitting = [s for s in signs if len(s) >= (low or 0) and re.search(pattern or "", s)]
            return fitting[0]
        case inspect.IntType(ge=low) | inspect.FloatType(ge=low):
            return low or 0
        case inspect.LiteralType(values=values):
            return values[0]
        case inspect.BoolType():
            return False
        case inspect.VarTupleType(min_length=low, item_type=item):
            return [sound(item)] * (low or 0)
        case inspect.StructType(cls=struct, fields=fields):
            return {f.encode_name: sound(f.type) for f in fields if f.required} | _NEEDED.get(
                struct, {}
            )
        case _:
            raise AssertionError(kind)


def _list_in(kind: inspect.Type, depth: int) -> inspect.VarTupleType:
    """Return the list that a field holds, or one `depth` lists inside it."""
    match kind:
        case inspect.Metadata():
            return _list_in(kind.type, depth)
        case inspect.UnionType(types=types):
            rest = [one for one in types if not isinstance(one, inspect.NoneType)]
            return _list_in(rest[0], depth)
        case inspect.VarTupleType():
            return _list_in(kind.item_type, depth - 1) if depth else kind
        case _:
            raise AssertionError(kind)


@pytest.mark.parametrize("struct", structs(), ids=lambda struct: struct.__name__)
def test_the_least_values_are_taken(struct):
    """So that an entry too many is refused for its number, not for what it is."""
    msgspec.convert(sound(inspect.type_info(struct)), struct)


@pytest.mark.parametrize("bound", numbers(), ids=lambda bound: bound.name)
def test_just_outside_is_refused_by_the_reader_itself(bound):
    """The bound is put to the file library alone, so that no other check hides a missing one."""
    struct = next(kind for kind in structs() if kind.__name__ == bound.struct)
    field = bound.field.split("[")[0]
    depth = bound.field.count("[]")
    entry = None
    if bound.kind == "entries":
        about = inspect.type_info(struct)
        its = next(one for one in about.fields if one.encode_name == field)
        entry = sound(_list_in(its.type, depth).item_type)
    outside = {
        "whole": lambda: [bound.low - 1, bound.high + 1, 10**30],
        "number": lambda: [bound.low - 0.01 - bound.low / 1e6, bound.high * 1.00001 + 0.01, 1e300],
        "characters": lambda: ["x" * (bound.high + 1)],
        "entries": lambda: [[entry] * n for n in (bound.high + 1, bound.low - 1) if n >= 0],
    }[bound.kind]()
    assert outside
    for value in outside:
        for _ in range(depth):
            value = [value]
        with pytest.raises(msgspec.ValidationError) as told:
            msgspec.convert({field: value}, struct)
        assert re.search(rf"`\$\.{field}(\[(\.\.\.|\d+)\])*`$", str(told.value)), told.value
        if bound.kind == "entries":
            assert "Expected `array` of length" in str(told.value), told.value


if __name__ == "__main__":
    print(table())
