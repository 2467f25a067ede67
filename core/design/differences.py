"""What is different between two designs, in plain words.

Every part of a design has words (`core.design.told`); one that is given none is still told by the
name it has in the file, so nothing that differs is ever passed over. Two designs are equal
exactly when there is nothing to tell.
"""

import types
from collections.abc import Callable, Iterator, Sequence
from difflib import SequenceMatcher
from typing import Any, Final, TypeVar, Union, get_args, get_origin, get_type_hints

from core.craft.stitches import CATALOGUE
from core.craft.units import MM_PER_IN
from core.design.document import (
    Design,
    FillRow,
    Item,
    NamedSize,
    OwnWords,
    Row,
    Stripe,
    Stripes,
    Units,
    Wave,
    Yarn,
)
from core.design.told import WORDS
from core.records import Struct

_MOST_SIGNS: Final = 90  # of a row's items, where a line is to stay short
_ARROW: Final = " → "

_SAID: Final[dict[str, dict[object, str]]] = {
    "work_in": {"both": "both loops", "back": "the back loop", "front": "the front loop"},
    "fill": {"repeat": "begins again", "stop": "stops", "mirror": "goes back mirrored"},
    "units": {"cm": "centimetres", "in": "inches"},
}


def words_for(kind: type, field: str) -> str:
    """Return what a field is called; without words of its own, its name in the file."""
    return WORDS.get(f"{kind.__name__}.{field}") or f"{kind.__name__} {field}".replace("_", " ")


def differences(before: Design, after: Design, *, short: bool = False) -> tuple[str, ...]:
    """Return what changed from one design to the other, a line each; nothing if they are equal.

    Lengths are in the later design's units, stitches in its terms. With `short`, long rows of
    items are cut; no line is left out.
    """
    told = _Told(before, after, short)
    return tuple(told.struct(before, after, Design, ""))


def in_one_line(lines: Sequence[str], most: int = 4) -> str:
    """Return the first changes in one line, and how many more there are."""
    if not lines:
        return "Nothing changed."
    more = len(lines) - most
    rest = f"; and {more} more" if more > 0 else ""
    return "; ".join(lines[:most]) + rest + "."


class _Told:
    """Tells the differences of two designs."""

    def __init__(self, before: Design, after: Design, short: bool) -> None:
        self._before, self._after = before, after
        self._short = short
        self._units: Units = after.units
        self._special: dict[type, Callable[[Any, Any], Iterator[str]]] = {
            Wave: self._wave,
            Stripes: self._stripes,
        }

    def struct(self, a: Struct, b: Struct, kind: type, prefix: str) -> Iterator[str]:
        """Tell what differs between two values of one class."""
        hints = get_type_hints(kind)
        for field in kind.__struct_fields__:  # type: ignore[attr-defined]
            was, now = getattr(a, field), getattr(b, field)
            if was == now:
                continue
            label = words_for(kind, field)
            label = prefix + (label if not prefix else label[0].lower() + label[1:])
            lines = list(self._field(was, now, hints[field], field, label))
            yield from lines or [f"{label} changed"]

    def _field(self, was: Any, now: Any, hint: Any, field: str, label: str) -> Iterator[str]:
        inner = _struct_in(hint)
        if inner in self._special:
            yield from self._special[inner](was, now)
        elif inner is not None and was is not None and now is not None:
            known = field in ("top", "bottom", "border")  # their own words don't name the part
            yield from self.struct(was, now, inner, f"{label}, " if known else "")
        elif inner is not None and (was is None or now is None):
            yield from self._come_or_gone(was, now, inner, field, label)
        elif field == "yarns":
            yield from self._yarns(was, now)
        elif field == "notes":
            yield _notes(was, now, label)
        elif field == "sizes":
            yield from _listed(label, [_size_text(s) for s in was], [_size_text(s) for s in now])
        elif field == "own_words":
            yield from _listed(label, [_own_text(w) for w in was], [_own_text(w) for w in now])
        elif field == "own":
            yield from _listed(label, [_fill_text(r) for r in was], [_fill_text(r) for r in now])
        else:
            yield label + self._from_to(was, now, field)

    def _come_or_gone(
        self, was: Any, now: Any, kind: type, field: str, label: str
    ) -> Iterator[str]:
        if field in ("top", "bottom", "border"):
            yield f"{label} {'added' if was is None else 'removed'}"
            return
        try:
            empty = kind()
        except TypeError:
            yield f"{label} {'added' if was is None else 'removed'}"
            return
        parts = list(self.struct(was or empty, now or empty, kind, ""))
        yield from parts or [f"{label} {'begun' if was is None else 'left out'}"]

    # values

    def _from_to(self, was: Any, now: Any, field: str) -> str:
        old, new = self._value(was, field, self._before), self._value(now, field, self._after)
        if old == new:  # too near to be told apart when rounded
            old, new = repr(was), repr(now)
        if was is None:
            return f" now {new}"
        return f" left out (was {old})" if now is None else f" {old}{_ARROW}{new}"

    def _value(self, value: Any, field: str, design: Design) -> str:
        if value is None:
            return "nothing"
        if isinstance(value, bool):
            return "yes" if value else "no"
        if field in ("title", "designer", "name", "contact", "licence"):
            return f"“{value}”" if value else "none"
        if field == "yarn" and isinstance(value, int):
            return design.yarns[value].name
        if field == "stitch":
            return self._stitch(value)
        if isinstance(value, tuple):
            return ", ".join(self._value(v, "work_in", design) for v in value) or "none"
        if field.endswith("_mm") and isinstance(value, int | float):
            return self._length(value, field)
        if isinstance(value, float | int):
            return f"{value:.6g}"
        return _SAID.get(field, {}).get(value, str(value))

    def _length(self, mm: float, field: str) -> str:
        if field == "hook_mm":
            return f"{mm:.4g} mm"
        return f"{mm / MM_PER_IN:.4g} in" if self._units == "in" else f"{mm / 10:.4g} cm"

    def _stitch(self, key: str) -> str:
        return CATALOGUE[key].name(self._after.terms).short

    # yarns and stripes

    def _yarns(self, was: tuple[Yarn, ...], now: tuple[Yarn, ...]) -> Iterator[str]:
        for a, b in _aligned(was, now):
            if a is None and b is not None:
                yield f"Yarn {b[0] + 1} added: {b[1].name} ({b[1].colour})"
            elif a is not None and b is None:
                yield f"Yarn {a[0] + 1} removed: {a[1].name} ({a[1].colour})"
            elif a is not None and b is not None:
                name = a[1].name
                called = name if name.casefold().startswith("yarn") else f"Yarn {name}"
                yield from self.struct(a[1], b[1], Yarn, f"{called}, ")

    def _stripes(self, was: Stripes, now: Stripes) -> Iterator[str]:
        same = _same_yarns(self._before.yarns, self._after.yarns)
        old = [(s.yarn, s.rows, s.locked, s.label) for s in was.sequence]
        new = [(same.get(s.yarn, -1 - s.yarn), s.rows, s.locked, s.label) for s in now.sequence]
        for a, b in _aligned(old, new):
            gone = a and _stripe_text(was.sequence[a[0]], self._before)
            come = b and _stripe_text(now.sequence[b[0]], self._after)
            if a is None and b is not None:
                yield f"Stripe {b[0] + 1} added: {come}"
            elif a is not None and b is None:
                yield f"Stripe {a[0] + 1} removed: {gone}"
            elif a is not None and b is not None:
                if a[1][0] != b[1][0]:
                    yarn_was = self._before.yarns[was.sequence[a[0]].yarn].name
                    yarn_now = self._after.yarns[now.sequence[b[0]].yarn].name
                    yield f"Stripe {b[0] + 1} now {yarn_now} (was {yarn_was})"
                if a[1][1] != b[1][1]:
                    yield f"Stripe {b[0] + 1}, rows {a[1][1]}{_ARROW}{b[1][1]}"
                if a[1][2] != b[1][2]:
                    yield f"Stripe {b[0] + 1} {'now locked' if b[1][2] else 'no longer locked'}"
                if a[1][3] != b[1][3]:
                    words = (f"“{label}”" if label else "none" for label in (a[1][3], b[1][3]))
                    yield f"Stripe {b[0] + 1}, name {_ARROW.join(words)}"
        if was.fill != now.fill:
            yield words_for(Stripes, "fill") + self._from_to(was.fill, now.fill, "fill")
        if was.plan != now.plan:
            word = "added" if was.plan is None else "removed" if now.plan is None else "changed"
            yield f"{words_for(Stripes, 'plan')} {word}"

    # rows

    def _wave(self, was: Wave, now: Wave) -> Iterator[str]:
        runs = _runs_changed(was.repeat, now.repeat) or ()
        if runs:
            yield _run_words(runs)
        for part in ("repeat", "start", "end"):  # where there is room for one, the wave itself
            a, b = getattr(was, part), getattr(now, part)
            follows = bool(runs) and set(_runs_changed(a, b) or (None,)) <= set(runs)
            if a != b and not follows:
                yield f"{words_for(Wave, part)}: {self._items(a)}{_ARROW}{self._items(b)}"
        if was.setup != now.setup:
            yield self._row_changed(words_for(Wave, "setup"), was.setup, now.setup)
        if was.cycle != now.cycle:
            old, new = was.cycle or (), now.cycle or ()
            label = words_for(Wave, "cycle")
            if not (old and new):
                yield f"{label} {f'added: {len(new)}' if new else f'removed: {len(old)}'}"
                return
            for a, b in _aligned(old, new):
                number = (b or a or (0,))[0] + 1
                place = f"Row {number} of those worked in turn"
                yield self._row_changed(place, a and a[1], b and b[1])

    def _row_changed(self, label: str, was: Row | None, now: Row | None) -> str:
        if was is None and now is not None:
            return f"{label} added: {self._row(now)}"
        if now is None and was is not None:
            return f"{label} removed: {self._row(was)}"
        assert was is not None
        assert now is not None
        return f"{label}: {self._row(was)}{_ARROW}{self._row(now)}"

    def _row(self, row: Row) -> str:
        text = (
            f"{self._all_items(row.start)} * {self._all_items(row.repeat)} * "
            f"{self._all_items(row.end)}"
        )
        return self._cut(text)

    def _items(self, items: tuple[Item, ...]) -> str:
        return self._cut(self._all_items(items))

    def _all_items(self, items: tuple[Item, ...]) -> str:
        return ", ".join(self._item(item) for item in items) or "nothing"

    def _item(self, item: Item) -> str:
        if item.stitch is None:
            return f"skip {item.skip}" if item.skip else f"ch {item.chain}"
        stitch = self._stitch(item.stitch)
        if item.over > 1:
            one = f"{stitch}{item.over}tog"
        elif item.chain:
            one = "(" + f", ch {item.chain}, ".join([stitch] * item.make) + ") in one"
        elif item.make > 1:
            one = f"{item.make} {stitch} in one"
        else:
            return f"{item.times} {stitch}"
        return one if item.times == 1 else f"{one} {item.times} times"

    def _cut(self, text: str) -> str:
        if self._short and len(text) > _MOST_SIGNS:
            return text[:_MOST_SIGNS].rstrip(" ,") + " …"
        return text


def _struct_in(hint: Any) -> type | None:
    """Return the class of struct that a field holds, or may hold."""
    if isinstance(hint, type) and issubclass(hint, Struct):
        return hint
    if get_origin(hint) in (Union, types.UnionType):
        for part in get_args(hint):
            if isinstance(part, type) and issubclass(part, Struct):
                return part
    return None


_Value = TypeVar("_Value")
_At = tuple[int, _Value]


def _aligned(
    was: Sequence[_Value], now: Sequence[_Value]
) -> Iterator[tuple[_At[_Value] | None, _At[_Value] | None]]:
    """Pair what differs between two lists: changed with changed, gone or new with None."""
    matcher = SequenceMatcher(a=was, b=now, autojunk=False)
    for tag, a0, a1, b0, b1 in matcher.get_opcodes():
        if tag == "equal":
            continue
        both = min(a1 - a0, b1 - b0)
        for n in range(both):
            yield (a0 + n, was[a0 + n]), (b0 + n, now[b0 + n])
        for n in range(a0 + both, a1):
            yield (n, was[n]), None
        for n in range(b0 + both, b1):
            yield None, (n, now[n])


def _same_yarns(was: Sequence[Yarn], now: Sequence[Yarn]) -> dict[int, int]:
    """Return which yarn of the earlier list each one of the later list is."""
    same: dict[int, int] = {}
    for tag, a0, a1, b0, b1 in SequenceMatcher(a=was, b=now, autojunk=False).get_opcodes():
        if tag in ("equal", "replace"):
            same.update(zip(range(b0, b1), range(a0, a1), strict=False))
    return same


def _size_text(size: NamedSize) -> str:
    return f"“{size.name}”, {size.repeats} repeats, {size.rows} rows"


def _own_text(own: OwnWords) -> str:
    return f"row {own.row} ({own.terms}, {own.of[:6]}): {own.text}"


def _stripe_text(stripe: Stripe, design: Design) -> str:
    rows = "1 row" if stripe.rows == 1 else f"{stripe.rows} rows"
    return f"{design.yarns[stripe.yarn].name}, {rows}"


def _runs_changed(
    was: tuple[Item, ...], now: tuple[Item, ...]
) -> tuple[tuple[int, int], ...] | None:
    """Return the runs of plain stitches that changed, or None if anything else did."""
    if len(was) != len(now):
        return None
    pairs = []
    for a, b in zip(was, now, strict=True):
        if a == b:
            continue
        if not (a.is_plain and b.is_plain and a.stitch == b.stitch):
            return None
        pairs.append((a.times, b.times))
    return tuple(pairs)


def _run_words(pairs: tuple[tuple[int, int], ...]) -> str:
    if len(set(pairs)) == 1:
        one = "Run" if len(pairs) == 1 else "Runs"
        return f"{one} of the wave {pairs[0][0]}{_ARROW}{pairs[0][1]}"
    old, new = (", ".join(str(pair[n]) for pair in pairs) for n in (0, 1))
    return f"Runs of the wave {old}{_ARROW}{new}"


def _fill_text(row: FillRow) -> str:
    parts = ", ".join(row.start), ", ".join(row.repeat), ", ".join(row.end)
    return " * ".join(parts)


def _listed(label: str, was: list[str], now: list[str]) -> Iterator[str]:
    for a, b in _aligned(was, now):
        number = (b or a or (0,))[0] + 1
        what = "changed" if a and b else "removed" if a else "added"
        yield f"{label}, row {number} {what}"


def _notes(was: str, now: str, label: str) -> str:
    if not was or not now:
        return f"{label} {'removed' if was else 'added'}"
    old, new = len(was.split()), len(now.split())
    return f"{label} changed" + (f" ({old}{_ARROW}{new} words)" if old != new else "")
