"""Items in the fewest words, for labels on drawings: "3", "2 in 1 ×2", "2tog ×2", "skip 2"."""

from core.craft.stitches import CATALOGUE, Terms
from core.design.document import Item, Items


def short_label(items: Items, terms: Terms) -> str:
    """Return the items in working order, in the fewest words.

    Two items that go on alternating are written once: "(skip 1, 1) ×5, skip 1".
    """
    times = _alternations(items)
    if times < 3:
        return ", ".join(_short(item, terms) for item in items)
    pair = ", ".join(_short(item, terms) for item in items[:2])
    rest = short_label(items[2 * times :], terms)
    return f"({pair}) ×{times}" + (f", {rest}" if rest else "")


def height_label(items: Items, terms: Terms) -> str:
    """Return plain stitches of different heights in the fewest words: "2 hdc, 2 dc"."""
    return ", ".join(
        f"{item.times} {CATALOGUE[item.stitch].name(terms).short}" for item in items if item.stitch
    )


def _alternations(items: Items) -> int:
    times = 0
    while len(items) >= 2 and items[2 * times : 2 * times + 2] == items[:2]:
        times += 1
    return times


def _short(item: Item, terms: Terms) -> str:
    if item.stitch is None:
        if item.skip is not None:
            return f"{'skip' if terms == 'US' else 'miss'} {item.skip}"
        return f"ch {item.chain}"
    times = f" ×{item.times}" if item.times > 1 else ""
    if item.make > 1:
        between = f" with ch {item.chain}" if item.chain else ""
        return f"{item.make} in 1{between}{times}"
    if item.over > 1:
        return f"{item.over}tog{times}"
    return str(item.times)
