"""Design files refused for one of their values: in one sentence, with its place."""

import copy
import json

import msgspec
import pytest
from refusing import changed, refusal

from core.design import edits
from core.design.files import design_from_bytes, read_design
from core.design.validation import checked
from core.errors import DesignError


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


@pytest.mark.parametrize("field", ["stitches", "rows", "over_mm", "hook_mm", "firmness"])
@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0, 1e300])
def test_an_edit_that_leaves_a_bad_number_is_refused(two_row_ripple, field, value):
    with pytest.raises((DesignError, ValueError)):
        gauge = msgspec.structs.replace(two_row_ripple.gauge, **{field: value})
        checked(msgspec.structs.replace(two_row_ripple, gauge=gauge))


@pytest.mark.parametrize("bad", ["\x00", "\x07", "\x1b", "\x0b", "\x7f", "\ufffe", "\uffff"])
@pytest.mark.parametrize("path", [["title"], ["designer"], ["notes"], ["yarns", 0, "name"]])
def test_control_characters_are_refused(raw, path, bad):
    # They have no place in XML 1.0 (https://www.w3.org/TR/xml/#charsets), so none in an SVG.
    place = "yarns[0].name" if path[0] == "yarns" else path[0]
    assert refusal(changed(raw, path, f"a{bad}b")).startswith(f"{place}: ")


def test_line_breaks_belong_to_notes_only(raw):
    assert design_from_bytes(changed(raw, ["notes"], "one\n\ttwo")).notes == "one\n\ttwo"
    assert refusal(changed(raw, ["title"], "one\ntwo")).startswith("title: ")


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
