"""Report and export without a window."""

import argparse
import json
import math
import sys
from pathlib import Path
from typing import Any, Final

from core.booklet.options import Options
from core.design.document import Reckoning
from core.design.files import read_design
from core.editions import Edition, SizeChoice
from core.errors import DesignError
from core.fabric.columns import steady_columns
from core.pipeline import Pipeline, Results
from core.rows.build import is_right_side
from core.techedit.edit import open_errors, stamped, whole_list
from core.words.languages import WORDINGS
from core.yarn.more import More, more_of
from core.yarn.running_out import shortage
from core.yarn.shopping import balls_to_buy
from core.yarn.use import YarnUse

LANGUAGES: Final = tuple(WORDINGS)
FITS: Final = 0
HAS_ERRORS: Final = 1
UNREADABLE: Final = 2


def results_of(path: Path) -> Results:
    """Return the settled results for a design file.

    Raises:
        DesignError: The file isn't a design.
        OSError: It can't be read.
    """
    return Pipeline().settled_results(read_design(path))


def report(arguments: argparse.Namespace) -> int:
    """Print what a design comes to; return the exit code."""
    results = _read(arguments.design)
    if results is None:
        return UNREADABLE
    if arguments.json:
        print(json.dumps(report_object(results), indent=1, ensure_ascii=False))
    else:
        print(report_text(results))
    return HAS_ERRORS if has_errors(results) else FITS


def export(arguments: argparse.Namespace) -> int:
    """Write a design's exports; return the exit code."""
    # These need Qt's painting, the report doesn't.
    from app.exporting import write_exports
    from app.painting.choices import Choices

    results = _read(arguments.design)
    if results is None:
        return UNREADABLE
    only = arguments.only.split(",") if arguments.only else None
    try:
        edition = _edition(results, arguments)
        choices = Choices(
            terms=arguments.terms,
            edition=edition,
            booklet=_booklet_options(arguments),
            paper=arguments.page,
        )
        stem = arguments.design.stem
        for path in write_exports(results, arguments.to, stem, only=only, choices=choices):
            print(path)
        why = stamped(results, choices.written)
        if why:
            print(f"dipslope: {why}", file=sys.stderr)
    except (DesignError, OSError) as error:
        print(f"dipslope: {error}", file=sys.stderr)
        return UNREADABLE
    return HAS_ERRORS if why else FITS


def _edition(results: Results, arguments: argparse.Namespace) -> Edition:
    """Return how the words are wanted.

    Raises:
        DesignError: The design has no size of that name.
    """
    size: SizeChoice = "own"
    if arguments.size == "all":
        size = "all"
    elif arguments.size != "own":
        names = [size.name for size in results.design.sizes]
        if arguments.size not in names:
            known = ", ".join(["own", "all", *names])
            raise DesignError(f"there is no size {arguments.size!r:.60}; there are {known}")
        size = names.index(arguments.size)
    return Edition(language=arguments.language, spelled=arguments.spelled, size=size)


def _booklet_options(arguments: argparse.Namespace) -> Options:
    """Return what was asked of booklets.

    Raises:
        DesignError: A size is out of bounds.
    """
    for name, most in (("repeats", 1000), ("rows", 5000)):
        value = getattr(arguments, name)
        if value is not None and not 1 <= value <= most:
            raise DesignError(f"--{name} has to be from 1 to {most}, not {value}")
    return Options(
        page=arguments.page or "a4",
        terms=arguments.terms,
        hand=arguments.hand,
        repeats=arguments.repeats,
        rows=arguments.rows,
    )


def has_errors(results: Results) -> bool:
    """Return whether something keeps the design from being worked."""
    return bool(open_errors(results))


def _read(path: Path) -> Results | None:
    try:
        return results_of(path)
    except (DesignError, OSError) as error:
        print(f"dipslope: {error}", file=sys.stderr)
        return None


def report_object(results: Results) -> dict[str, Any]:
    """Return the report as plain JSON values; keys may be added, never renamed."""
    design, rows = results.design, results.rows
    foundation, wave, size = rows.foundation, results.finished_wave, results.size
    return {
        "title": design.title,
        "foundation": {
            "multiple": foundation.multiple,
            "extra": foundation.extra,
            "base_stitches": foundation.base_stitches,
            "chains": foundation.chains,
        },
        "rows": [
            {
                "row": row,
                "side": "RS" if is_right_side(row) else "WS",
                "uses": rows.plans[int(rows.which[row - 1])].uses,
                "makes": rows.plan(row).makes,
                "yarn": design.yarns[int(results.yarn_of_row[row - 1])].name,
            }
            for row in range(1, rows.drawn_rows + 1)
        ],
        "size": {
            "repeats": design.size.repeats,
            "rows": design.size.rows,
            "width_mm": round(size.width_mm, 2),
            "length_mm": round(size.length_mm, 2),
            "chain_mm": round(size.chain_mm, 2),
        },
        "washing": {
            "width_change": round(size.wash.width - 1.0, 4),
            "length_change": round(size.wash.length - 1.0, 4),
        }
        if size.is_washed
        else None,
        "wave": {
            "repeat_width_mm": round(wave.repeat_width_mm, 3),
            "rise_mm": round(wave.rise_mm, 3),
            "wave_height_mm": round(wave.wave_height_mm, 3),
            "lean_deg": round(wave.lean_deg, 2),
            **_columns(results),
        }
        if wave
        else None,
        "yarn": [
            {
                "name": design.yarns[use.yarn].name,
                "rows": use.rows,
                "stitches": use.stitches,
                "length_m": round(use.length_m, 1),
                "mass_g": round(use.mass_g, 1),
                "balls": use.balls,
                **_yarn_lines(results, use, more),
            }
            for use, more in zip(results.yarn, _more(results), strict=True)
        ],
        "edging": _edging_object(results),
        "tails": results.tails,
        "ends": _ends_object(results),
        "findings": [
            {"level": f.level, "where": f.where, "message": f.message, "way": f.way}
            for f in whole_list(results)
        ],
    }


def _more(results: Results) -> tuple[More, ...]:
    return more_of(results.design, results.row_yarn, results.yarn_ends, results.edging)


def _yarn_lines(results: Results, use: YarnUse, more: More) -> dict[str, Any]:
    """Return the lines of a yarn's length, its range, and where what is owned fails."""
    design, yarn = results.design, results.design.yarns[use.yarn]
    fails = shortage(design, results.row_yarn, results.yarn_ends, results.yarn_of_row, use)
    lengths = {
        "body_m": use.body_m,
        "foundation_m": use.foundation_m,
        "fill_m": use.fill_m,
        "border_m": use.border_m,
        "tails_m": use.tails_m,
        "carried_m": use.carried_m,
        "spare_m": use.spare_m,
        "low_m": use.low_m,
        "high_m": use.high_m,
        "more_repeat_m": more.repeat_m,
        "more_stripe_m": more.stripe_m,
    }
    return {
        **{name: round(length, 1) for name, length in lengths.items()},
        "more_stripe_rows": more.stripe_rows,
        "ends": use.ends,
        "owned_balls": yarn.owned_balls,
        "to_buy": balls_to_buy(use, yarn),
        "fails_at_row": fails.row if yarn.owned_balls else None,
    }


def _ends_object(results: Results) -> dict[str, int]:
    """Return the rows' ends by the edge they hang at, and the yarns carried up the sides."""
    left, right = results.yarn_ends.sides()
    return {"left": left, "right": right, "carried": int(results.yarn_ends.carried.sum())}


def _columns(results: Results) -> dict[str, list[float | None]]:
    """Return lean and lift of each stitch of one right-side repeat, from the fabric's left.

    Lean is positive to the right, lift is the height of its top over its foot; both are null
    for a chain, which has no foot.
    """
    steady = results.fabric.steady
    if steady is None:
        return {}
    columns = steady_columns(steady)
    return {
        "lean_per_column_deg": _rounded(columns.lean_deg.tolist(), 1),
        "rise_per_column_mm": _rounded(columns.lift_mm.tolist(), 2),
    }


def _rounded(values: list[float], digits: int) -> list[float | None]:
    return [None if math.isnan(value) else round(value, digits) + 0.0 for value in values]


def _edging_object(results: Results) -> dict[str, Any] | None:
    """Return fill rows and border, each end's stitches from the fabric's left edge."""
    plan = results.border
    if not results.ends.has_fill and plan is None:
        return None
    ends: dict[str, Any] = {
        end: {
            "rows": [
                {"left": row.left, "repeat": row.repeat, "right": row.right} for row in fill.rows
            ],
            "before_mm": round(fill.before_mm, 2),
            "bump_mm": round(fill.bump_mm, 2),
        }
        for end, fill in results.ends.fills.items()
        if fill is not None
    }
    border = plan and {
        "rounds": list(plan.rounds),
        "rounds_m": [round(metres, 1) for metres in plan.rounds_m],
        "side": plan.side_total,
        "top": plan.top.total,
        "bottom": plan.bottom.total,
        "adds_mm": round(plan.adds_mm, 2),
    }
    yarn = [
        {
            "part": use.part,
            "name": results.design.yarns[use.yarn].name,
            "stitches": use.stitches,
            "length_m": round(use.length_m, 1),
        }
        for use in results.edging
    ]
    return {**ends, "border": border, "yarn": yarn}


def report_text(results: Results) -> str:
    """Return the report for people."""
    facts = report_object(results)
    foundation, size, wave = facts["foundation"], facts["size"], facts["wave"]
    extra = f", plus {foundation['extra']}" if foundation["extra"] else ""
    lines = [
        facts["title"],
        f"Chain {foundation['chains']} (a multiple of {foundation['multiple']}{extra}), "
        f"worked into {foundation['base_stitches']}.",
        f"{size['repeats']} repeats, {size['rows']} rows: {size['width_mm'] / 10:.1f} x "
        f"{size['length_mm'] / 10:.1f} cm from a chain of {size['chain_mm'] / 10:.1f} cm"
        f"{', after washing' if facts['washing'] else ''}.",
    ]
    if wave:
        lines.append(
            f"Waves {wave['repeat_width_mm'] / 10:.2f} cm wide and "
            f"{wave['wave_height_mm'] / 10:.2f} cm high, leaning {wave['lean_deg']:.0f} degrees; "
            f"a row rises {wave['rise_mm']:.2f} mm."
        )
        leans = ("chain" if lean is None else f"{lean:.0f}" for lean in wave["lean_per_column_deg"])
        lines.append(
            "Degrees that each stitch of a right-side repeat leans, from the left, to the right "
            f"positive: {', '.join(leans)}."
        )
    lines += ["", "Rows  side  uses  makes"]
    lines += _row_lines(facts["rows"])
    spare = (results.design.reckoning or Reckoning()).spare
    lines += ["", f"Yarn (tails and {100 * spare:.0f} % spare included)"]
    lines += [
        f"  {use['name']}: {use['length_m']:.0f} m, {use['mass_g']:.0f} g, {_balls(use['balls'])}"
        for use in facts["yarn"]
    ]
    cut = "yarns carried where they can be" if facts["ends"]["carried"] else "every stripe cut"
    lines.append(
        f"  {facts['tails']} tails to weave in, {cut}: {facts['ends']['left']} at the left edge, "
        f"{facts['ends']['right']} at the right"
    )
    if facts["findings"]:
        lines += ["", "Findings"]
        lines += [
            f"  {f['level']}: {f['where']}: {f['message']} {f['way']}".rstrip()
            for f in facts["findings"]
        ]
    return "\n".join(lines)


def _balls(number: int) -> str:
    return f"{number} ball" if number == 1 else f"{number} balls"


def _row_lines(rows: list[dict[str, Any]]) -> list[str]:
    """Return one line for every run of rows that use and make the same."""
    lines, start = [], 0
    for end in range(1, len(rows) + 1):
        same = end < len(rows) and all(rows[end][k] == rows[start][k] for k in ("uses", "makes"))
        if not same:
            first, last = rows[start], rows[end - 1]
            span = str(first["row"]) if start == end - 1 else f"{first['row']}-{last['row']}"
            side = first["side"] if start == end - 1 else "both"
            lines.append(f"{span:>7}  {side:<4}  {first['uses']:>4}  {first['makes']:>5}")
            start = end
    return lines
