"""Design files: what is written is read again, for ever."""

import json
from pathlib import Path

import msgspec
from any_design import designs
from hypothesis import given

from core.design.document import Gauge, Item, Loops, Size, Stripe, Stripes, Swatch, Yarn
from core.design.files import FORMAT, design_from_bytes, design_text, read_design, write_design
from core.design.validation import checked

FILES = Path(__file__).resolve().parents[1] / "files"


@given(designs())
def test_a_design_that_is_written_and_read_is_the_same(design):
    assert design_from_bytes(design_text(design).encode()) == design


@given(designs())
def test_a_design_read_again_gives_the_same_text(design):
    text = design_text(design)
    assert design_text(design_from_bytes(text.encode())) == text


@given(designs())
def test_a_design_within_its_bounds_passes_the_check_unchanged(design):
    assert checked(design) is design


def test_whole_and_broken_numbers_of_one_value_give_the_same_text(two_row_ripple):
    # An edit may give 13 where a file gave 13.0; a design equal to the saved one must not look
    # changed in the file.
    gauge = msgspec.structs.replace(two_row_ripple.gauge, stitches=13)
    same = msgspec.structs.replace(gauge, stitches=13.0)
    one, other = (msgspec.structs.replace(two_row_ripple, gauge=g) for g in (gauge, same))
    assert one == other
    assert design_text(one) == design_text(other)


def test_a_file_on_disk_is_the_design(two_row_ripple, tmp_path):
    path = tmp_path / "Sea and sand 海.dipslope"
    write_design(two_row_ripple, path)
    assert read_design(path) == two_row_ripple
    assert [entry.name for entry in tmp_path.iterdir()] == [path.name]


def test_the_file_is_readable_utf_8_json(two_row_ripple, tmp_path):
    named = msgspec.structs.replace(two_row_ripple, title="Grüße ☂")
    write_design(named, tmp_path / "x.dipslope")
    data = (tmp_path / "x.dipslope").read_bytes()
    assert "Grüße ☂".encode() in data
    raw = json.loads(data)
    assert (raw["format"], raw["version"]) == ("dipslope-design", 1)
    assert raw["wave"]["repeat"][1] == {"stitch": "dc", "over": 2, "times": 2}


# --- the file of layout 1 ----------------------------------------------------------------


def test_a_file_of_layout_1_is_read_for_ever():
    # Written by hand after the layout's description; never to be edited.
    design = read_design(FILES / "v1" / "ripple.dipslope")
    dc3, two_tog = Item(stitch="dc", times=3), Item(stitch="dc", over=2, times=2)
    assert design.title == "Evening tide"
    assert design.notes == "Two rows a colour.\nPeaks at both sides."
    assert (design.terms, design.hand, design.units) == ("UK", "left", "in")
    assert design.gauge == Gauge("dc", 13, 7.5, 100, 5, 0.5)
    assert design.wave.start == (Item(stitch="dc", make=2),)
    assert design.wave.repeat == (dc3, two_tog, dc3, Item(stitch="dc", make=2, times=2))
    assert design.wave.end == (dc3, two_tog, dc3, Item(stitch="dc", make=2))
    setup = design.wave.setup
    assert setup.repeat[1:] == (Item(skip=2), Item(chain=1), Item(stitch="dc", make=2))
    assert design.wave.cycle is None
    assert (design.turning.chains, design.turning.counts) == (3, True)
    assert design.loops == Loops("back", 2, True)
    assert design.size == Size(repeats=12, rows=84)
    assert design.yarns[1] == Yarn("Naturweiß", "#E9D8A6", 105, 50, 1.5, 4.25)
    assert design.stripes == Stripes((Stripe(0, 2), Stripe(1, 2)), "mirror")
    assert design.swatch == Swatch(1180)


def test_the_format_is_named_in_every_file():
    assert FORMAT == "dipslope-design"
