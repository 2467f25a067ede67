"""The key to a stripe order, as text to print or copy: what stands for what, and the rules.

It is the slip that goes into the gift: dates with their stripes, colours with theirs.
"""

from core.design.document import Design
from core.design.plan import Barred, Plan, Share
from core.stripes.dates import said_date

_SERIES = {"fibonacci": "Fibonacci numbers", "lucas": "Lucas numbers", "primes": "primes"}
_ORDERS = {"given": "in order", "shuffled": "shuffled", "opposed": "one up, one down"}


def key_text(design: Design) -> str:
    """Return the key: named stripes together, then every stripe, then the plan's rules."""
    lines = [design.title, ""]
    lines += named_lines(design)
    lines.append("Stripes from the foundation up:")
    row = 1
    for number, stripe in enumerate(design.stripes.sequence, 1):
        last = row + stripe.rows - 1
        rows = f"row {row}" if last == row else f"rows {row} to {last}"
        label = f" ({stripe.label})" if stripe.label else ""
        lines.append(f"{number:>4}. {design.yarns[stripe.yarn].name}, {rows}{label}")
        row = last + 1
    if design.stripes.plan is not None:
        lines += ["", said_plan(design, design.stripes.plan)]
    return "\n".join(lines) + "\n"


def named_lines(design: Design) -> list[str]:
    """Return a line for each name that stripes have, with their numbers and rows."""
    found: dict[str, list[tuple[int, int]]] = {}
    for number, stripe in enumerate(design.stripes.sequence, 1):
        if stripe.label:
            found.setdefault(stripe.label, []).append((number, stripe.rows))
    lines = []
    for label, stripes in found.items():
        parts = ", ".join(f"{n} ({rows} {'row' if rows == 1 else 'rows'})" for n, rows in stripes)
        lines.append(f"{label}: {'stripe' if len(stripes) == 1 else 'stripes'} {parts}")
    return [*lines, ""] if lines else []


def said_plan(design: Design, plan: Plan) -> str:
    """Return a plan's rules in words, so that it can be made again by hand."""
    names = [yarn.name for yarn in design.yarns]
    parts: list[str] = []
    if plan.kind == "random":
        parts.append(f"Planned random, {plan.count} stripes")
        parts += [_said_share(names[share.yarn], share) for share in plan.shares]
        parts += [_said_pair(names, pair) for pair in plan.barred]
        if plan.apart:
            parts.append(
                "no yarn beside itself"
                if plan.apart == 1
                else f"{plan.apart} stripes between two of one yarn"
            )
        parts.append(f"{' or '.join(map(str, sorted(set(plan.widths))))} rows each")
    elif plan.kind == "fade":
        yarns = ", ".join(names[share.yarn] for share in plan.shares)
        step = "single rows" if plan.between == 1 else "pairs of rows"
        parts += [f"Fade through {yarns}", f"{plan.depth} steps", step]
        if plan.nearest:
            parts.append("nearest colours beside each other")
    else:
        what = _SERIES.get(plan.series) or "own widths"
        if plan.series == "dates":
            what = "; ".join(said_date(iso) for iso in plan.dates)
        parts += [f"Widths: {what}", _ORDERS[plan.order]]
    if plan.shape != "free":
        parts.append("mirrored" if plan.shape == "mirror" else f"blocks of {plan.block}, turned")
    return f"{'; '.join(parts)}; number {plan.seed}."


def _said_share(name: str, share: Share) -> str:
    if share.most is None:
        return f"{name} {share.least} times or more" if share.least else name
    if share.least == share.most:
        return f"{name} {share.least} times"
    return f"{name} {share.least} to {share.most} times"


def _said_pair(names: list[str], pair: Barred) -> str:
    return f"{names[pair.one]} and {names[pair.other]} never side by side"
