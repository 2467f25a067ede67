"""Waves as shapes: what a person takes hold of, read from a design's rows and written back.

A shape is either runs with peaks and dips (`WaveShape`) or a wave of stitch heights
(`HeightShape`). `wave_of(shape_of(wave)) == wave` holds for every wave that has a shape.

    shape      runs, peaks and dips, and how items are read as them
    rhythm     how rows follow one another: shaped or plain, turned over, set off
    edges      what a row does at its two ends; `cuts` where they cut a wave anywhere
    shaped     rows of a shape; `reading` is the way back
    heights    tall-and-short waves
    families   the ones with names
    workable   which shapes can be worked
    choices    edits of edges, rhythm, heights; `pulls` those of runs and turns
"""

from core.design.document import Items, Wave
from core.rows.choices import (
    Shape,
    could_keep_sides,
    edge_kinds,
    in_family,
    most_rows_to_swap,
    slants_of,
    with_edge_at,
    with_edges,
    with_ends,
    with_every,
    with_heights,
    with_length,
    with_sides_kept,
    with_slant,
    with_straight_edge,
    with_swap,
)
from core.rows.families import (
    FAMILIES,
    Family,
    family_of,
    family_shape,
    family_turning,
    family_wave,
)
from core.rows.heights import (
    MAX_LENGTH,
    HeightShape,
    heights_of_wave,
    least_length,
    parts_of_heights,
    wave_of_heights,
)
from core.rows.pulls import (
    pulled,
    turn_with_gain,
    with_gain,
    with_run,
    with_skipped_dips,
    with_turn_moved,
)
from core.rows.reading import runs_of_wave
from core.rows.rhythm import MAX_EVERY, MAX_SLANT, MAX_SWAP, Rhythm
from core.rows.shape import (
    MAX_GAIN,
    MAX_RUN,
    EdgeKind,
    Part,
    PartKind,
    Turn,
    TurnKind,
    WaveShape,
    parts_among,
)
from core.rows.shaped import can_slant, can_swap, wave_of_runs


def shape_of(wave: Wave) -> Shape | None:
    """Return the shape of a wave, or None where its rows are of no shape known here.

    A set-up row hides the shape, and so does a cycle of rows that differ in any other way
    than a rhythm says.
    """
    return runs_of_wave(wave) or heights_of_wave(wave)


def wave_of(shape: Shape) -> Wave:
    """Return the rows of a shape, with edges that fit and the same count in every row."""
    return wave_of_heights(shape) if isinstance(shape, HeightShape) else wave_of_runs(shape)


def parts_of(shape: Shape, repeat: Items) -> tuple[Part, ...]:
    """Return the parts of a repeat's items in working order."""
    if isinstance(shape, HeightShape):
        return parts_of_heights(shape, repeat)
    return parts_among(repeat, len(shape.turns))


__all__ = [
    "FAMILIES",
    "MAX_EVERY",
    "MAX_GAIN",
    "MAX_LENGTH",
    "MAX_RUN",
    "MAX_SLANT",
    "MAX_SWAP",
    "EdgeKind",
    "Family",
    "HeightShape",
    "Part",
    "PartKind",
    "Rhythm",
    "Shape",
    "Turn",
    "TurnKind",
    "WaveShape",
    "can_slant",
    "can_swap",
    "could_keep_sides",
    "edge_kinds",
    "family_of",
    "family_shape",
    "family_turning",
    "family_wave",
    "in_family",
    "least_length",
    "most_rows_to_swap",
    "parts_of",
    "pulled",
    "shape_of",
    "slants_of",
    "turn_with_gain",
    "wave_of",
    "with_edge_at",
    "with_edges",
    "with_ends",
    "with_every",
    "with_gain",
    "with_heights",
    "with_length",
    "with_run",
    "with_sides_kept",
    "with_skipped_dips",
    "with_slant",
    "with_straight_edge",
    "with_swap",
    "with_turn_moved",
]
