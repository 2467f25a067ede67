"""Items in the fewest words, for labels on drawings: "3", "2 in 1 ×2", "2tog ×2", "skip 2"."""

from core.craft.stitches import Terms
from core.design.document import Item, Items


def short_label(items: Items, terms: Terms) -> str:
    """Return the items in working order, in the fewest words."""
    return ", ".join(_short(item, terms) for item in items)


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
