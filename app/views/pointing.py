"""The stitch that is pointed at, in words."""

from app.views.figures import counted
from core.craft.stitches import CATALOGUE, KEYS
from core.pipeline import Results
from core.rows.build import is_right_side


def stitch_text(results: Results, row: int, stitch: int) -> str:
    """Return what the stitch pointed at is, counted the way the row is worked."""
    rows = results.rows
    if row == 0:
        return f"Foundation chain, {counted(rows.makes(0), 'stitch', 'stitches')}"
    count = rows.makes(row)
    number = count - stitch if rows.runs_left(row) else stitch + 1
    plan = rows.plan(row)
    kind = CATALOGUE[KEYS[int(plan.kind[number - 1])]].name(results.design.terms)
    parents = plan.links[plan.links[:, 0] == number - 1, 1] + 1
    into = " and ".join(str(int(p)) for p in parents[:3])
    side = "RS" if is_right_side(row) else "WS"
    yarn = results.design.yarns[int(results.yarn_of_row[row - 1])].name
    worked = f", worked into {into} of {'the chain' if row == 1 else f'row {row - 1}'}"
    return (
        f"Row {row} ({side}), stitch {number} of {count}: {kind.long}"
        f"{worked if len(parents) else ''} – {yarn}"
    )
