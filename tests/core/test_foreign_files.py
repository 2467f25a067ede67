"""Files that hold no design, or half of one: refused, whatever their bytes are."""

import contextlib
import json

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from refusing import changed, refusal

from core.design.files import MAX_BYTES, design_from_bytes, design_text, read_design
from core.errors import DesignError


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


def test_a_byte_order_mark_is_passed_over_once(two_row_ripple):
    data = design_text(two_row_ripple).encode("utf-8-sig")
    assert data.startswith(b"\xef\xbb\xbf")
    assert design_from_bytes(data) == two_row_ripple
    assert refusal(b"\xef\xbb\xbf" + data)


@pytest.mark.parametrize(
    "half", [b"\\ud800", b"\\udfff", b"\\udc00\\ud800", b"\xed\xa0\x80", b"\xff"]
)
def test_half_a_character_is_refused(two_row_ripple, half):
    data = design_text(two_row_ripple).encode()
    assert refusal(data.replace(b"Two-row ripple", b"Two" + half + b"rows"))


def test_of_a_key_given_twice_the_last_counts_or_the_file_is_refused(two_row_ripple):
    twice = design_text(two_row_ripple).replace('"title":', '"title": "Other", "title":')
    with contextlib.suppress(DesignError):
        assert design_from_bytes(twice.encode()) == two_row_ripple


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
