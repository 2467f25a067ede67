"""Figures that are measured on the model: gauge, wave, finished size, drawing in."""

from core.craft.stitches import CATALOGUE
from core.explain.figures import Explanation, Given, Standing
from core.fabric.sizes import chain_stitch_mm, measured_chain_mm
from core.fabric.springs import proportions_of
from core.pipeline import Results


def stitch_width(results: Results) -> Explanation:
    """Explain the width of a stitch."""
    gauge = results.design.gauge
    return Explanation(
        "stitch width",
        Given("Stitch width", gauge.stitch_width_mm, "fine mm"),
        "What the swatch was measured over, divided by the stitches in it.",
        (
            Given("Measured over", gauge.over_mm, "mm"),
            Given("Stitches in it", gauge.stitches, "number"),
        ),
        "yours",
    )


def row_height(results: Results) -> Explanation:
    """Explain the height of a row."""
    gauge = results.design.gauge
    return Explanation(
        "row height",
        Given("Row height", gauge.row_height_mm, "fine mm"),
        "What the swatch was measured over, divided by the rows in it.",
        (Given("Measured over", gauge.over_mm, "mm"), Given("Rows in it", gauge.rows, "number")),
        "yours",
    )


def _model_inputs(results: Results) -> tuple[Given, ...]:
    gauge = results.design.gauge
    name = CATALOGUE[gauge.stitch].name(results.design.terms).long
    return (
        Given("Swatch in", name, "text"),
        Given("Stitch width", gauge.stitch_width_mm, "fine mm"),
        Given("Row height", gauge.row_height_mm, "fine mm"),
        Given("Firmness of the model", proportions_of(gauge).firmness, "number"),
    )


def width(results: Results) -> Explanation:
    """Explain the finished width."""
    size = results.size
    washed = " Then changed as your swatch changed by washing." if size.is_washed else ""
    given = (
        Given("Width off the hook", size.worked_width_mm, "mm"),
        Given("Washing multiplies by", size.wash.width, "number"),
        Given("Repeats between the edges", results.design.size.repeats),
    )
    return Explanation(
        "width",
        Given("Finished width", size.width_mm, "mm"),
        "Every stitch is settled between its neighbours; the width between the side edges is then "
        f"averaged over the rows, half a stitch outside the last ones.{washed}",
        (*given, *_model_inputs(results)),
        "model",
    )


def length(results: Results) -> Explanation:
    """Explain the finished length."""
    size = results.size
    washed = " Then changed as your swatch changed by washing." if size.is_washed else ""
    given = (
        Given("Length off the hook", size.worked_length_mm, "mm"),
        Given("Washing multiplies by", size.wash.length, "number"),
        Given("Rows", results.design.size.rows),
    )
    return Explanation(
        "length",
        Given("Finished length", size.length_mm, "mm"),
        "Height from the foundation up to the last row of the settled blanket, averaged over its "
        f"width.{washed}",
        (*given, *_model_inputs(results)),
        "model",
    )


def wave_height(results: Results) -> Explanation | None:
    """Explain the height of a wave."""
    wave = results.finished_wave
    if wave is None:
        return None
    return Explanation(
        "wave height",
        Given("Wave height", wave.wave_height_mm, "mm"),
        "From the lowest to the highest place along one row, where the rows repeat unchanged.",
        _model_inputs(results),
        "model",
    )


def lean(results: Results) -> Explanation | None:
    """Explain the lean."""
    wave = results.finished_wave
    if wave is None:
        return None
    return Explanation(
        "lean",
        Given("Lean", wave.lean_deg, "deg"),
        "The middle of all angles at which plain stitches of the settled wave stand off the "
        "vertical. Long runs come near the angle whose tangent is the stitches a row moves along, "
        "times stitch width, over row height.",
        _model_inputs(results),
        "model",
    )


def repeat_width(results: Results) -> Explanation | None:
    """Explain the width of a repeat, as worked."""
    wave = results.wave
    if wave is None:
        return None
    multiple = results.rows.foundation.multiple
    flat = multiple * results.design.gauge.stitch_width_mm
    return Explanation(
        "repeat width",
        Given("Repeat width", wave.repeat_width_mm, "mm"),
        "Peak to peak where the rows repeat unchanged. Laid flat, a repeat's stitches would be "
        "wider: the wave draws them in.",
        (
            Given("Its stitches laid flat", flat, "mm"),
            Given("Drawn in to", wave.repeat_width_mm / flat if flat else 0.0, "share"),
            *_model_inputs(results),
        ),
        "model",
    )


def rise(results: Results) -> Explanation | None:
    """Explain how far a row lifts the wave."""
    wave = results.wave
    if wave is None:
        return None
    height = results.design.gauge.row_height_mm
    return Explanation(
        "rise",
        Given("Rise per row", wave.rise_mm, "fine mm"),
        "How far up one row lifts the wave. Leaning rows rise by more than their height.",
        (
            Given("Row height", height, "fine mm"),
            Given("Rise over height", wave.rise_mm / height, "number"),
        ),
        "model",
    )


def chain_length(results: Results) -> Explanation:
    """Explain the length of the chain laid out."""
    design, foundation = results.design, results.rows.foundation
    standing: Standing = "model" if measured_chain_mm(design) is None else "yours"
    how = (
        "Chains that row 1 uses, each as wide as a plain stitch, since no chain was measured."
        if standing == "model"
        else "Chains that row 1 uses, each as long as in the chain you measured."
    )
    return Explanation(
        "chain length",
        Given("Chain laid out", results.size.chain_mm, "mm"),
        how,
        (
            Given("Chains that row 1 uses", foundation.base_stitches),
            Given("Length of one", chain_stitch_mm(design), "fine mm"),
        ),
        standing,
    )


def draw_in(results: Results) -> Explanation:
    """Explain how much the blanket draws in."""
    size = results.size
    return Explanation(
        "draw in",
        Given("Drawn in by", size.draw_in, "share"),
        "One, less finished width over the chain laid out.",
        (
            Given("Finished width", size.width_mm, "mm"),
            Given("Chain laid out", size.chain_mm, "mm"),
        ),
        "model",
        "Makers report 17 to 33 % in their own ripples.",
    )


def width_step(results: Results) -> Explanation | None:
    """Explain the choices of widths: what one repeat more adds."""
    wave, foundation = results.finished_wave, results.rows.foundation
    if wave is None:
        return None
    return Explanation(
        "width step",
        Given("One repeat more adds", wave.repeat_width_mm, "mm"),
        "Choices near a wished width are this width, plus or less whole repeats. Each takes whole "
        "multiples of chains more or fewer.",
        (
            Given("Finished width now", results.size.width_mm, "mm"),
            Given("Repeats between the edges", results.design.size.repeats),
            Given("Chains for one repeat", foundation.multiple),
        ),
        "model",
    )


def length_step(results: Results) -> Explanation | None:
    """Explain the choices of lengths: what one row more adds."""
    wave = results.finished_wave
    if wave is None:
        return None
    return Explanation(
        "length step",
        Given("One row more adds", wave.rise_mm, "fine mm"),
        "Choices near a wished length are this length, plus or less whole rows.",
        (
            Given("Finished length now", results.size.length_mm, "mm"),
            Given("Rows", results.design.size.rows),
        ),
        "model",
    )
