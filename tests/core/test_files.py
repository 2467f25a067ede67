"""Design files: what is written is read again, and nothing bad gets in or gets lost."""

import contextlib
import copy
import errno
import json
import os
import stat
import subprocess
import sys
import tempfile
from pathlib import Path

import msgspec
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from core.craft.stitches import WORKED
from core.design import edits
from core.design.document import (
    Design,
    Edging,
    Gauge,
    Item,
    Loops,
    Progress,
    Reckoning,
    Row,
    Size,
    Stripe,
    Stripes,
    Swatch,
    Turning,
    Wanted,
    Wave,
    Yarn,
)
from core.design.files import (
    FORMAT,
    MAX_BYTES,
    design_from_bytes,
    design_text,
    read_design,
    write_design,
)
from core.design.signs import plain_line
from core.design.validation import checked
from core.errors import DesignError

FILES = Path(__file__).resolve().parents[1] / "files"
posix = pytest.mark.skipif(os.name == "nt", reason="permissions and links are different there")

# --- any design --------------------------------------------------------------------------

_letters = st.characters(exclude_categories=["Cs"])
line = st.text(_letters.filter(lambda c: plain_line(c) == c), max_size=30)
lines = st.lists(line, max_size=4).map("\n\t".join)


def numbers(low: float, high: float):
    return st.floats(low, high, allow_nan=False)


stitches = st.sampled_from(WORKED)
times = st.integers(1, 8)
items = (
    st.builds(Item, stitch=stitches, times=times)
    | st.builds(
        Item,
        stitch=stitches,
        times=times,
        make=st.integers(2, 12),
        chain=st.none() | st.integers(1, 3),
    )
    | st.builds(Item, stitch=stitches, times=times, over=st.integers(2, 12))
    | st.builds(Item, skip=st.integers(1, 50))
    | st.builds(Item, chain=st.integers(1, 20))
)
sections = st.lists(items, max_size=3).map(tuple)
stitch_first = st.builds(Item, stitch=stitches)
rows = st.builds(
    lambda one, *rest: Row(rest[0], (one, *rest[1]), rest[2]), stitch_first, *[sections] * 3
)


@st.composite
def waves(draw):
    row = draw(rows)
    cycle = draw(st.none() | st.lists(rows, min_size=1, max_size=3).map(tuple))
    return Wave(row.start, row.repeat, row.end, draw(st.none() | rows), cycle)


@st.composite
def gauges(draw):
    stitches_over, over = draw(numbers(4, 40)), draw(numbers(10, 1000))
    # a swatch may be twice as tall or wide as the usual one
    per_row = (
        draw(numbers(0.5, 2))
        * {"dc": 1.65, "sc": 0.9}[stitch := draw(st.sampled_from(["dc", "sc"]))]
    )
    firmness = draw(st.none() | numbers(0.02, 20))
    return Gauge(
        stitch, stitches_over, stitches_over / per_row, over, draw(numbers(0.4, 50)), firmness
    )


turnings = st.builds(Turning, chains=st.integers(1, 10), counts=st.booleans()) | st.just(
    Turning(0, False)
)
loops = st.builds(
    Loops,
    work_in=st.sampled_from(["both", "back", "front"]),
    from_row=st.integers(1, 5000),
    last_stitch_both=st.booleans(),
) | st.builds(
    Loops,
    from_row=st.integers(1, 5000),
    in_turn=st.lists(st.sampled_from(["both", "back", "front"]), min_size=1, max_size=4).map(tuple),
    each_colour=st.booleans(),
)
yarns = st.builds(
    Yarn,
    name=line.filter(bool),
    colour=st.from_regex(r"\A#[0-9A-Fa-f]{6}\Z"),
    ball_m=numbers(0.1, 1e5),
    ball_g=numbers(0.1, 1e5),
    owned_balls=numbers(0, 1e4),
    price=st.none() | numbers(0, 1e6),
    left_g=st.none() | numbers(0, 1e5),
    left_after=st.none() | st.integers(0, 5000),
)

swatches = st.builds(
    Swatch,
    yarn_m_per_m2=st.none() | numbers(50, 50_000),
    repeats=st.integers(1, 1000),
    chain_mm=st.none() | numbers(1, 1e5),
    wash_width_mm=st.none() | numbers(1, 1e5),
    washed_width_mm=st.none() | numbers(1, 1e5),
    washed_length_mm=st.none() | numbers(1, 1e5),
    yarn_off=st.none() | numbers(0, 1),
)

reckonings = st.builds(
    Reckoning,
    spare=numbers(0, 2),
    tail_mm=numbers(30, 1000),
    carry_rows=st.integers(0, 20),
    row_minutes=st.none() | numbers(0.1, 1440),
    week_hours=st.none() | numbers(0.1, 168),
)


@st.composite
def designs(draw):
    basket = tuple(draw(st.lists(yarns, min_size=1, max_size=4)))
    stripe = st.builds(Stripe, yarn=st.integers(0, len(basket) - 1), rows=st.integers(1, 5000))
    return Design(
        title=draw(line),
        designer=draw(line),
        notes=draw(lines),
        terms=draw(st.sampled_from(["US", "UK"])),
        hand=draw(st.sampled_from(["left", "right"])),
        units=draw(st.sampled_from(["cm", "in"])),
        gauge=draw(gauges()),
        wave=draw(waves()),
        turning=draw(turnings),
        loops=draw(loops),
        size=Size(repeats=draw(st.integers(1, 2)), rows=draw(st.integers(1, 60))),
        yarns=basket,
        stripes=Stripes(
            tuple(draw(st.lists(stripe, min_size=1, max_size=5))),
            draw(st.sampled_from(["repeat", "stop", "mirror"])),
        ),
        edging=draw(st.none() | st.just(Edging())),
        swatch=draw(st.none() | swatches),
        wanted=draw(st.none() | st.builds(Wanted, width_mm=st.none() | numbers(10, 1e5))),
        progress=draw(
            st.none()
            | st.builds(Progress, row=st.integers(1, 5000), length_mm=st.none() | numbers(1, 1e5))
        ),
        reckoning=draw(st.none() | reckonings),
    )


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


# --- refusals ----------------------------------------------------------------------------


@pytest.fixture(scope="session")
def raw(two_row_ripple):
    return json.loads(design_text(two_row_ripple))


def changed(raw, path, value):
    """Return the file's values with one place set, or taken out where the value is `...`."""
    raw = copy.deepcopy(raw)
    *way, last = path
    place = raw
    for step in way:
        place = place[step]
    if value is ...:
        del place[last]
    else:
        place[last] = value
    return json.dumps(raw).encode()


def refusal(data: bytes) -> str:
    with pytest.raises(DesignError) as caught:
        design_from_bytes(data)
    return str(caught.value)


def test_a_word_for_a_number_is_refused_with_its_place(raw):
    # The layout's description prints this sentence.
    assert refusal(changed(raw, ["wave", "repeat", 2, "over"], "two")) == (
        'wave.repeat[2].over: expected an integer of 1 or more, got "two"'
    )


@pytest.mark.parametrize(
    ("path", "value", "place"),
    [
        (["wave", "repeat", 2, "over"], 0, "wave.repeat[2].over"),
        (["wave", "repeat", 2, "over"], 2.5, "wave.repeat[2].over"),
        (["wave", "repeat", 2, "over"], True, "wave.repeat[2].over"),
        (["wave", "repeat", 2, "over"], None, "wave.repeat[2].over"),
        (["wave", "repeat", 2, "over"], 10**6, "wave.repeat[2].over"),
        (["wave", "repeat", 0, "stitch"], "ch", "wave.repeat[0].stitch"),
        (["wave", "repeat", 0, "stitch"], "tripple", "wave.repeat[0].stitch"),
        (["wave", "repeat", 0], {}, "wave.repeat[0]"),
        (["wave", "repeat", 0], {"skip": 1, "chain": 1}, "wave.repeat[0]"),
        (["wave", "repeat", 0], {"skip": 1, "times": 2}, "wave.repeat[0]"),
        (["wave", "repeat", 0], {"stitch": "dc", "make": 2, "over": 2}, "wave.repeat[0]"),
        (["wave", "repeat", 0], {"stitch": "dc", "times": 0}, "wave.repeat[0].times"),
        (["wave", "repeat", 0], {"stitch": "dc", "make": 0}, "wave.repeat[0].make"),
        (["wave", "repeat", 0], {"skip": 0}, "wave.repeat[0].skip"),
        (["wave", "repeat", 0], {"chain": 0}, "wave.repeat[0].chain"),
        (["wave", "repeat", 0], {"stitch": "dc", "chain": 1}, "wave.repeat[0]"),
        (["wave", "repeat"], {}, "wave.repeat"),
        (["wave", "repeat"], [], "wave"),
        (["wave", "repeat"], [{"chain": 4}], "wave"),
        (["wave", "repeat"], [{"stitch": "dc"}] * 201, "wave.repeat"),
        (["wave", "setup"], {"start": [], "repeat": [{"skip": 1}], "end": []}, "wave.setup"),
        (["wave", "cycle"], [], "wave.cycle"),
        (["title"], 5, "title"),
        (["title"], "x" * 201, "title"),
        (["notes"], "x" * 20_001, "notes"),
        (["terms"], "us", "terms"),
        (["hand"], "both", "hand"),
        (["units"], "mm", "units"),
        (["gauge", "stitch"], "ch", "gauge.stitch"),
        (["gauge", "stitches"], "13", "gauge.stitches"),
        (["gauge", "stitches"], 0, "gauge.stitches"),
        (["gauge", "rows"], -7.5, "gauge.rows"),
        (["gauge", "firmness"], 0, "gauge.firmness"),
        (["gauge", "rows"], 100, "gauge"),
        (["turning", "chains"], -1, "turning.chains"),
        (["turning"], {"chains": 0, "counts": True}, "turning"),
        (["turning", "counts"], 1, "turning.counts"),
        (["loops", "work_in"], "third", "loops.work_in"),
        (["size", "repeats"], 0, "size.repeats"),
        (["size", "rows"], 10**30, "size.rows"),
        (["size", "rows"], 2.0, "size.rows"),
        (["yarns"], [], "yarns"),
        (["yarns", 1, "colour"], "red", "yarns[1].colour"),
        (["yarns", 1, "colour"], "#2a6f97\n", "yarns[1].colour"),
        (["yarns", 0, "name"], "", "yarns[0].name"),
        (["yarns", 0, "ball_m"], 0, "yarns[0].ball_m"),
        (["yarns", 0, "price"], -1, "yarns[0].price"),
        (["stripes", "sequence"], [], "stripes.sequence"),
        (["stripes", "sequence", 1, "rows"], 0, "stripes.sequence[1].rows"),
        (["stripes", "fill"], "stretch", "stripes.fill"),
        (["swatch"], {"yarn_m_per_m2": 1}, "swatch.yarn_m_per_m2"),
        (["swatch"], {"yarn_off": 2}, "swatch.yarn_off"),
        (["reckoning"], {"spare": -0.1}, "reckoning.spare"),
        (["reckoning"], {"tail": 150}, "reckoning.tail"),
        (["yarns", 0, "left_g"], -1, "yarns[0].left_g"),
        (["edging"], [], "edging"),
        (["version"], "1", "version"),
        (["version"], 1.0, "version"),
        (["version"], True, "version"),
        (["version"], 0, "version"),
        (["version"], None, "version"),
    ],
)
def test_a_bad_value_is_refused_with_its_place(raw, path, value, place):
    assert refusal(changed(raw, path, value)).startswith(f"{place}: ")


@pytest.mark.parametrize(
    ("path", "place"),
    [
        (["title"], "title"),
        (["gauge"], "gauge"),
        (["gauge", "stitches"], "gauge.stitches"),
        (["wave"], "wave"),
        (["wave", "end"], "wave.end"),
        (["turning"], "turning"),
        (["loops"], "loops"),
        (["size", "rows"], "size.rows"),
        (["yarns"], "yarns"),
        (["yarns", 0, "ball_g"], "yarns[0].ball_g"),
        (["stripes"], "stripes"),
        (["version"], "version"),
    ],
)
def test_a_missing_value_is_named(raw, path, place):
    assert refusal(changed(raw, path, ...)).startswith(f"{place}: ")


@pytest.mark.parametrize(
    ("key", "default"),
    [
        ("designer", ""),
        ("notes", ""),
        ("terms", "US"),
        ("hand", "right"),
        ("units", "cm"),
        ("edging", None),
        ("swatch", None),
    ],
)
def test_some_values_may_be_left_out(raw, key, default):
    without = {name: value for name, value in raw.items() if name != key}
    assert getattr(design_from_bytes(json.dumps(without).encode()), key) == default


def test_firmness_set_up_row_and_cycle_may_be_left_out(raw, two_row_ripple):
    short = copy.deepcopy(raw)
    short["gauge"].pop("firmness", None)
    short["wave"].pop("setup", None)
    short["wave"].pop("cycle", None)
    assert design_from_bytes(json.dumps(short).encode()) == two_row_ripple


@pytest.mark.parametrize(
    ("path", "place"),
    [
        (["colour"], "colour"),
        (["wave", "repeat", 2, "ovre"], "wave.repeat[2].ovre"),
        (["yarns", 1, "ball"], "yarns[1].ball"),
        (["edging", "rows"], "edging.rows"),
        (["gauge", ""], "gauge."),
        (["a.b[0]"], "a.b[0]"),
    ],
)
def test_an_unknown_key_is_refused_with_its_place(raw, path, place):
    values = raw | {"edging": {}}
    assert refusal(changed(values, path, 1)).startswith(f"{place}: unknown key")


@pytest.mark.parametrize(
    "path",
    [
        [],
        ["gauge"],
        ["wave"],
        ["wave", "start", 0],
        ["wave", "setup"],
        ["wave", "cycle", 0],
        ["turning"],
        ["loops"],
        ["size"],
        ["yarns", 0],
        ["stripes"],
        ["stripes", "sequence", 0],
        ["edging"],
        ["swatch"],
    ],
)
def test_no_part_of_a_file_takes_unknown_keys(raw, path):
    row = {"start": [], "repeat": [{"stitch": "dc"}], "end": []}
    values = copy.deepcopy(raw) | {"edging": {}, "swatch": {}}
    values["wave"] |= {"setup": row, "cycle": [row]}
    assert design_from_bytes(json.dumps(values).encode())
    assert "unknown key" in refusal(changed(values, [*path, "hue"], 1))


def test_a_misspelt_key_is_told_the_right_one(raw):
    message = refusal(changed(raw, ["wave", "repeat", 2, "ovre"], 2))
    assert message == 'wave.repeat[2].ovre: unknown key (did you mean "over"?)'


def test_a_stripe_in_a_yarn_that_is_not_there_is_refused(raw):
    assert "yarn 7" in refusal(changed(raw, ["stripes", "sequence", 0, "yarn"], 7))


def test_more_stitches_than_can_be_drawn_are_refused(raw):
    assert "4,000 in a row" in refusal(changed(raw, ["size", "repeats"], 1000))
    many_rows = changed(raw, ["size"], {"repeats": 300, "rows": 5000})
    assert "1,000,000 in all" in refusal(many_rows)


@pytest.mark.parametrize("version", [2, 99, 10**30])
def test_a_newer_layout_is_refused_in_words_that_say_so(raw, version):
    message = refusal(changed(raw, ["version"], version))
    assert "newer" in message
    assert str(version) in message


def test_a_newer_layout_is_not_looked_into(raw):
    assert "newer" in refusal(b'{"format": "dipslope-design", "version": 2, "title": 5}')


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"null", id="null"),
        pytest.param(b"[]", id="a list"),
        pytest.param(b"{}", id="an empty object"),
        pytest.param(b'"dipslope-design"', id="a word"),
        pytest.param(b'{"format": "pattern", "version": 1}', id="another format"),
        pytest.param(b'{"format": ["dipslope-design"], "version": 1}', id="format in a list"),
        pytest.param(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", id="a picture"),
        pytest.param(b"PK\x03\x04\x14\x00\x06\x00", id="an archive"),
        pytest.param(b"Row 1: 2 dc in 4th ch from hook", id="a pattern in words"),
        pytest.param('{"format": "dipslope-design"'.encode("utf-16"), id="UTF-16"),
        pytest.param(b"[" * 100_000, id="deep lists"),
        pytest.param(b'{"a":' * 100_000, id="deep objects"),
        pytest.param(b"[" * 100_000 + b"]" * 100_000, id="deep and whole"),
    ],
)
def test_a_foreign_file_is_refused(data):
    assert "design file" in refusal(data)


def test_values_nested_deep_inside_a_design_are_refused(raw):
    bomb = (
        json.dumps(raw)
        .encode()
        .replace(b'"A ripple"', b'"x"')
        .replace(b'"Two-row ripple"', b"[" * 5_000 + b"]" * 5_000)
    )
    assert refusal(bomb)


@pytest.mark.parametrize("kept", [0.1, 0.5, 0.9, 0.999])
def test_a_truncated_file_is_refused(two_row_ripple, kept):
    data = design_text(two_row_ripple).strip().encode()
    assert "not a whole design file" in refusal(data[: int(len(data) * kept)])


def test_something_behind_the_end_is_refused(two_row_ripple):
    assert refusal(design_text(two_row_ripple).encode() + b"{}")


def test_a_file_over_the_limit_is_refused_without_reading_it_all(tmp_path):
    path = tmp_path / "huge.dipslope"
    with path.open("wb") as file:
        file.truncate(50_000_000_000)  # sparse: takes no room, but can't be read into memory
    with pytest.raises(DesignError, match="larger than 24 MB"):
        read_design(path)


def test_spaces_up_to_the_limit_are_allowed(two_row_ripple):
    data = design_text(two_row_ripple).encode()
    padded = data + b" " * (MAX_BYTES - len(data))
    assert design_from_bytes(padded) == two_row_ripple
    assert "larger" in refusal(padded + b" ")


@pytest.mark.parametrize(
    "number", [b"NaN", b"Infinity", b"-Infinity", b"1e999", b"-1e999", b"0x10"]
)
def test_what_is_no_finite_number_is_refused(two_row_ripple, number):
    data = design_text(two_row_ripple).encode()
    assert data.count(b'"hook_mm": 5.0') == 1
    assert refusal(data.replace(b'"hook_mm": 5.0', b'"hook_mm": ' + number))


@pytest.mark.parametrize("field", ["stitches", "rows", "over_mm", "hook_mm", "firmness"])
@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0, 1e300])
def test_an_edit_that_leaves_a_bad_number_is_refused(two_row_ripple, field, value):
    with pytest.raises((DesignError, ValueError)):
        gauge = msgspec.structs.replace(two_row_ripple.gauge, **{field: value})
        checked(msgspec.structs.replace(two_row_ripple, gauge=gauge))


def test_a_byte_order_mark_is_passed_over_once(two_row_ripple):
    data = design_text(two_row_ripple).encode("utf-8-sig")
    assert data.startswith(b"\xef\xbb\xbf")
    assert design_from_bytes(data) == two_row_ripple
    assert refusal(b"\xef\xbb\xbf" + data)


@pytest.mark.parametrize("bad", ["\x00", "\x07", "\x1b", "\x0b", "\x7f", "\ufffe", "\uffff"])
@pytest.mark.parametrize("path", [["title"], ["designer"], ["notes"], ["yarns", 0, "name"]])
def test_control_characters_are_refused(raw, path, bad):
    # They have no place in XML 1.0 (https://www.w3.org/TR/xml/#charsets), so none in an SVG.
    place = "yarns[0].name" if path[0] == "yarns" else path[0]
    assert refusal(changed(raw, path, f"a{bad}b")).startswith(f"{place}: ")


@pytest.mark.parametrize(
    "half", [b"\\ud800", b"\\udfff", b"\\udc00\\ud800", b"\xed\xa0\x80", b"\xff"]
)
def test_half_a_character_is_refused(two_row_ripple, half):
    data = design_text(two_row_ripple).encode()
    assert refusal(data.replace(b"Two-row ripple", b"Two" + half + b"rows"))


def test_line_breaks_belong_to_notes_only(raw):
    assert design_from_bytes(changed(raw, ["notes"], "one\n\ttwo")).notes == "one\n\ttwo"
    assert refusal(changed(raw, ["title"], "one\ntwo")).startswith("title: ")


def test_of_a_key_given_twice_the_last_counts_or_the_file_is_refused(two_row_ripple):
    twice = design_text(two_row_ripple).replace('"title":', '"title": "Other", "title":')
    with contextlib.suppress(DesignError):
        assert design_from_bytes(twice.encode()) == two_row_ripple


@pytest.mark.parametrize(
    ("path", "value"),
    [
        pytest.param(["title"], "x" * 100_000, id="title"),
        pytest.param(["x" * 100_000], 1, id="key"),
        pytest.param(["gauge", "y" * 100_000], 1, id="key inside"),
        pytest.param(["size", "rows"], int("9" * 4_000), id="rows"),
        pytest.param(["version"], int("9" * 4_000), id="version"),
        pytest.param(["version"], "z" * 100_000, id="version in words"),
        pytest.param(["hand"], ["q" * 100_000], id="hand"),
    ],
)
def test_a_refusal_stays_short_whatever_the_file_holds(raw, path, value):
    assert len(refusal(changed(raw, path, value))) < 400


def test_a_refusal_names_the_file(raw, tmp_path):
    path = tmp_path / "broken.dipslope"
    path.write_bytes(changed(raw, ["hand"], "both"))
    with pytest.raises(DesignError, match=r"^broken\.dipslope: hand: "):
        read_design(path)


@pytest.mark.parametrize("name", ["missing.dipslope", "."])
def test_what_is_no_file_is_an_error_of_the_system(tmp_path, name):
    with pytest.raises(OSError):
        read_design(tmp_path / name)


# --- any bytes ---------------------------------------------------------------------------


def design_or_refusal(data: bytes) -> None:
    try:
        design = design_from_bytes(data)
    except DesignError as error:
        assert str(error)
    else:
        assert design_from_bytes(design_text(design).encode()) == design


@given(st.binary(max_size=300))
def test_any_bytes_are_a_design_or_are_refused(data):
    design_or_refusal(data)


@given(st.data())
def test_a_damaged_file_is_a_design_or_is_refused(two_row_ripple, data):
    whole = design_text(two_row_ripple).encode()
    at = data.draw(st.integers(0, len(whole)))
    until = data.draw(st.integers(at, min(at + 40, len(whole))))
    design_or_refusal(whole[:at] + data.draw(st.binary(max_size=8)) + whole[until:])


any_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)
PATHS = [
    ["title"], ["gauge"], ["gauge", "stitches"], ["gauge", "firmness"], ["wave"], ["wave", "start"],
    ["wave", "repeat", 0], ["wave", "repeat", 1, "over"], ["wave", "setup"], ["wave", "cycle"],
    ["turning"], ["loops"], ["size"], ["size", "rows"], ["yarns"], ["yarns", 0], ["stripes"],
    ["stripes", "sequence", 0], ["edging"], ["swatch"], ["version"], ["format"],
]  # fmt: skip


@given(st.sampled_from(PATHS), any_values)
def test_any_value_in_any_place_is_taken_or_refused(raw, path, value):
    values = (
        changed(raw, path, value) if path[0] in raw else json.dumps(raw | {path[0]: value}).encode()
    )
    design_or_refusal(values)


@given(
    st.sampled_from([[], ["gauge"], ["wave"], ["wave", "repeat", 0], ["yarns", 1]]),
    st.text(),
    any_values,
)
@example([], "stitch` - at `$.nowhere", 1)
@example(["gauge"], "x` - at `$.wave.repeat[99]", 1)
@example(["wave", "repeat", 0], "`", 1)
def test_any_key_anywhere_is_known_or_refused(raw, path, key, value):
    design_or_refusal(changed(raw, [*path, key], value))


# --- writing whole or not at all ---------------------------------------------------------


class FaultError(OSError):
    """The disk says no."""


def failing(*_args, **_kwargs):
    raise FaultError(errno.ENOSPC, "No space left on device")


def full_disk(handle, data):
    """Take a little and then no more."""
    if len(data) > 10:
        return write_some(handle, data[:10])
    return failing()


write_some = os.write
FAULTS = {
    "making the new file": (tempfile, "mkstemp", failing),
    "writing it": (os, "write", full_disk),
    "making sure it is on disk": (os, "fsync", failing),
    "giving it its permissions": (os, "chmod", failing),
    "putting it in place": (os, "replace", failing),
}


@pytest.fixture
def saved(two_row_ripple, tmp_path):
    """A saved design in a folder of its own."""
    path = tmp_path / "blanket.dipslope"
    write_design(two_row_ripple, path)
    return path


@pytest.fixture
def edited(two_row_ripple):
    return msgspec.structs.replace(two_row_ripple, title="Edited")


@pytest.mark.parametrize("moment", FAULTS)
def test_a_fault_while_saving_leaves_the_old_file_whole(
    saved, edited, two_row_ripple, monkeypatch, moment
):
    with monkeypatch.context() as patch:
        patch.setattr(*FAULTS[moment])
        with pytest.raises(FaultError):
            write_design(edited, saved)
    assert read_design(saved) == two_row_ripple
    assert list(saved.parent.iterdir()) == [saved]
    write_design(edited, saved)  # and the next try goes through
    assert read_design(saved) == edited


@pytest.mark.parametrize("moment", FAULTS)
def test_a_fault_while_saving_anew_leaves_nothing_behind(edited, tmp_path, monkeypatch, moment):
    monkeypatch.setattr(*FAULTS[moment])
    with pytest.raises(FaultError):
        write_design(edited, tmp_path / "new.dipslope")
    assert list(tmp_path.iterdir()) == []


def test_an_interrupted_save_leaves_the_old_file_whole(saved, edited, two_row_ripple, monkeypatch):
    def interrupt(*_args):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_design(edited, saved)
    assert read_design(saved) == two_row_ripple
    assert list(saved.parent.iterdir()) == [saved]


@pytest.mark.parametrize("last_step", ["fsync", "chmod", "replace"])
def test_a_crash_while_saving_leaves_the_old_file_whole(
    saved, edited, two_row_ripple, tmp_path, last_step
):
    source = tmp_path / "edited.dipslope"
    write_design(edited, source)
    code = (
        "import os, sys; from pathlib import Path\n"
        "from core.design.files import read_design, write_design\n"
        "design = read_design(Path(sys.argv[1]))\n"
        f"os.{last_step} = lambda *args, **kw: os._exit(9)\n"
        "write_design(design, Path(sys.argv[2]))\n"
    )
    command = [sys.executable, "-c", code, source, saved]
    root = Path(__file__).resolve().parents[2]
    assert subprocess.run(command, cwd=root, check=False).returncode == 9
    assert read_design(saved) == two_row_ripple


def test_the_new_file_is_on_disk_before_it_takes_the_old_ones_place(saved, edited, monkeypatch):
    seen = []
    sync, replace = os.fsync, os.replace

    def watched_sync(handle):
        seen.append(("sync", os.fstat(handle).st_size, stat.S_ISREG(os.fstat(handle).st_mode)))
        sync(handle)

    def watched_replace(source, target, **kwargs):
        seen.append(("replace", Path(source).parent, Path(target)))
        replace(source, target, **kwargs)

    monkeypatch.setattr(os, "fsync", watched_sync)
    monkeypatch.setattr(os, "replace", watched_replace)
    write_design(edited, saved)
    assert seen[0] == ("sync", len(design_text(edited).encode()), True)
    assert seen[1] == ("replace", saved.parent.resolve(), saved.resolve())


def test_a_design_that_has_no_text_touches_nothing(saved, two_row_ripple):
    gauge = msgspec.structs.replace(two_row_ripple.gauge, hook_mm=float("nan"))
    with pytest.raises(DesignError, match="hook_mm"):
        write_design(msgspec.structs.replace(two_row_ripple, gauge=gauge), saved)
    assert read_design(saved) == two_row_ripple
    assert list(saved.parent.iterdir()) == [saved]


def test_saving_into_a_missing_folder_is_an_error_of_the_system(edited, tmp_path):
    with pytest.raises(FileNotFoundError):
        write_design(edited, tmp_path / "nowhere" / "x.dipslope")


def test_saving_over_a_folder_is_an_error_of_the_system(edited, tmp_path):
    (tmp_path / "folder.dipslope").mkdir()
    with pytest.raises(OSError):
        write_design(edited, tmp_path / "folder.dipslope")
    assert [entry.name for entry in tmp_path.iterdir()] == ["folder.dipslope"]


def test_the_longest_name_that_a_folder_takes_can_be_saved(edited, tmp_path):
    path = tmp_path / ("海" * 82 + ".dipslope")  # 3 x 82 + 9 = 255 bytes
    write_design(edited, path)
    assert read_design(path) == edited


@posix
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o644, 0o444])
def test_permissions_are_kept(saved, edited, mode):
    saved.chmod(mode)
    write_design(edited, saved)
    assert stat.S_IMODE(saved.stat().st_mode) == mode


@posix
@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_a_new_file_gets_the_permissions_of_any_new_file(edited, tmp_path, mask):
    before = os.umask(mask)
    try:
        write_design(edited, tmp_path / "new.dipslope")
        (tmp_path / "plain").touch()
    finally:
        os.umask(before)
    modes = {stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()}
    assert modes == {0o666 & ~mask}


@posix
def test_a_link_is_followed_and_not_replaced(saved, edited, tmp_path):
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    one, other = folder / "one.dipslope", folder / "other.dipslope"
    one.symlink_to(saved)
    other.symlink_to("one.dipslope")
    write_design(edited, other)
    assert one.is_symlink()
    assert other.is_symlink()
    assert not saved.is_symlink()
    assert read_design(saved) == edited
    assert sorted(folder.iterdir()) == [one, other]


@posix
def test_a_link_to_a_file_not_yet_there_is_filled(edited, tmp_path):
    link = tmp_path / "link.dipslope"
    link.symlink_to("target.dipslope")
    write_design(edited, link)
    assert link.is_symlink()
    assert read_design(tmp_path / "target.dipslope") == edited


@posix
def test_links_that_go_round_in_a_circle_are_an_error_of_the_system(edited, tmp_path):
    one, other = tmp_path / "one.dipslope", tmp_path / "other.dipslope"
    one.symlink_to(other)
    other.symlink_to(one)
    for attempt in (lambda: read_design(one), lambda: write_design(edited, one)):
        with pytest.raises(OSError):
            attempt()


def test_the_format_is_named_in_every_file():
    assert FORMAT == "dipslope-design"


@pytest.mark.parametrize(
    ("rows", "words", "nearest"), [(200, "at most", 31.51), (0.6, "at least", 1.97)]
)
def test_a_gauge_that_no_fabric_has_is_refused_with_the_nearest(
    two_row_ripple, rows, words, nearest
):
    with pytest.raises(ValueError, match="can't both be right") as caught:
        edits.set_gauge(two_row_ripple, rows=rows)
    assert f"{words} {nearest}" in str(caught.value)
    near = edits.set_gauge(two_row_ripple, rows=nearest)
    assert checked(near)
