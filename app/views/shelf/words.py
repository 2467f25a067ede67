"""Yarns of the shelf in words."""

from app.views.figures import counted, number, plain, yarn_length
from core.design.document import Units
from core.shelf.against import Have
from core.shelf.entry import WEIGHTS, Entry
from core.shelf.finding import Found
from core.shelf.merging import Difference

FIELD_WORDS = {
    "name": "name",
    "colour": "colour",
    "ball_m": "length of a ball",
    "ball_g": "weight of a ball",
    "fibre": "fibre",
    "weight": "weight class",
    "lot": "dye lot",
    "price": "price",
    "currency": "currency",
    "balls": "balls",
    "remnants": "remnants",
    "place": "place",
    "bought": "day bought",
    "notes": "notes",
    "asides": "put aside",
}


def grams(value: float) -> str:
    """Return a weight of yarn."""
    return f"{plain(value, 1)} g"


def stock(entry: Entry) -> str:
    """Return what is there in balls and remnants: "3 balls + 23 g"."""
    parts = [counted(entry.balls, "ball")] if entry.balls or not entry.remnants else []
    if entry.remnants:
        rest = grams(sum(entry.remnants))
        parts.append(rest if len(entry.remnants) == 1 else f"{rest} in {len(entry.remnants)} bits")
    return " + ".join(parts)


def called(entry: Entry) -> str:
    """Return a yarn's name with its dye lot."""
    return f"{entry.name}, lot {entry.lot}" if entry.lot else entry.name


def about(entry: Entry) -> str:
    """Return what it is and where, in one line."""
    weight = "" if entry.weight is None else WEIGHTS[entry.weight]
    lot = f"lot {entry.lot}" if entry.lot else ""
    return " · ".join(part for part in (entry.fibre, weight, lot, entry.place) if part)


def nearness(apart: float) -> str:
    """Return how near a colour is, in words and by CIEDE2000."""
    words = "the same colour" if apart < 1 else "very near" if apart < 4 else "near"
    return f"{words} ({number(apart, 1)})"


def amounts(entry: Entry, units: Units) -> str:
    """Return all there is of it, by weight and length, and what is put aside."""
    if not entry.grams:
        return "Nothing is left of it."
    text = f"{stock(entry)}: {grams(entry.grams)}, {yarn_length(entry.length_m, units)}."
    for aside in entry.asides:
        text += f" {grams(aside.grams)} put aside for {aside.title or 'a blanket without a title'}."
    if entry.aside_g > entry.grams + 0.05:
        text += " More is put aside than there is."
    return text


def spoken(found: Found, units: Units) -> str:
    """Return a line of the list as it is read aloud."""
    entry = found.entry
    parts = [called(entry), f"{yarn_length(entry.length_m, units)}, {stock(entry)}"]
    if found.apart is not None:
        parts.append(nearness(found.apart))
    if entry.aside_g:
        parts.append(f"{grams(entry.aside_g)} put aside")
    return ". ".join([*parts, *([about(entry)] if about(entry) else [])])


def verdict(have: Have, units: Units) -> str:
    """Return whether the shelf does for one yarn of a design."""
    if have.needed_m <= 0:
        return "not worked in this blanket"
    if not have.entries:
        if have.near is None:
            return "not on the shelf"
        there = yarn_length(have.near.free_m, units)
        return f"not on the shelf; near it: {have.near.name}, {there}"
    if have.only_mixed:
        return _mixed_words(have)
    lots = ""
    if have.lots > 1:
        if have.is_enough:
            lot = f" ({have.lot})" if have.lot else ""
            spare = ", without all of the spare" if have.lot_m < have.needed_m else ""
            return f"enough of one of {have.lots} dye lots{lot}{spare}"
        lots = f"; {have.lots} dye lots: keep apart"
    if have.row is not None:
        short = yarn_length(have.short_m, units)
        return f"fails in stripe {have.stripe}, row {have.row}; {short} short{lots}"
    if have.short_m > 0:
        return f"does for the rows, not for what is worked round them{lots}"
    if have.there_m < have.needed_m:
        return f"enough, without all of the spare{lots}"
    return "enough"


def _mixed_words(have: Have) -> str:
    """Return what is said where several dye lots are enough, and none of them alone."""
    lot = f", {have.lot}," if have.lot else ""
    goes = (
        "does for the rows only"
        if have.lot_row is None
        else f"fails in stripe {have.lot_stripe}, row {have.lot_row}"
    )
    return f"no dye lot is enough alone: the largest{lot} {goes}; mixed, {have.lots} do"


def first_failure(haves: tuple[Have, ...], names: tuple[str, ...]) -> str:
    """Return where a blanket would fail first with what is on the shelf."""
    worked = [have for have in haves if have.needed_m > 0]
    fails = [have for have in worked if have.row is not None]
    if fails:
        first = min(fails, key=lambda have: have.row or 0)
        why = "is not on the shelf" if not first.entries else "runs out"
        whole = (first.row or 1) - 1
        goes = f"goes as far as row {whole}" if whole else "can't be begun"
        return (
            f"With what is on the shelf the blanket {goes}: in stripe {first.stripe}, row "
            f"{first.row}, {names[first.yarn]} {why}."
        )
    if any(have.short_m > 0 for have in worked):
        return "The shelf does for all stripes, but not for what is worked round them."
    mixed = [names[have.yarn] for have in worked if have.only_mixed]
    if mixed:
        return (
            f"Everything this blanket needs is on the shelf, but {' and '.join(mixed)} only in "
            "several dye lots: where one lot goes on from another, the change may show."
        )
    return "Everything this blanket needs is on the shelf."


def difference_words(difference: Difference) -> str:
    """Return what would become of one yarn of a list."""
    before, after = difference.before, difference.after
    if difference.kind == "same":
        return "is there just so"
    if difference.kind == "lots":
        return "is there in several dye lots: change it by hand"
    if difference.kind == "twice":
        return "would stand there twice: change it by hand"
    if before is None:
        return f"new: {stock(after)}" if after.grams else "new, none owned yet"
    parts = []
    if stock(before) != stock(after):
        parts.append(f"{stock(before)} → {stock(after)}")
    for field in difference.fields:
        if field in ("balls", "remnants"):
            continue
        parts.append(f"{FIELD_WORDS[field]}: {_shown(before, field)} → {_shown(after, field)}")
    return "; ".join(parts) or "remnants are weighed otherwise"


def _shown(entry: Entry, field: str) -> str:
    value = getattr(entry, field)
    if field == "asides":
        return " + ".join(f"{grams(a.grams)} for {a.title}" for a in value) or "nothing"
    if field == "weight":
        return "unknown" if value is None else WEIGHTS[value]
    if value is None or value == "":
        return "none"
    text = plain(value) if isinstance(value, float | int) else str(value).partition("\n")[0]
    return text if len(text) <= 30 else f"{text[:29]}…"
