"""Tables for spreadsheets, written and read by one rule."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shelved import yarn

from core.design.spreadsheet import BOM, as_it_was, harmless, read_table, table_bytes, text_of
from core.errors import DesignError
from core.shelf import table as shelf

sharp = st.text(st.sampled_from("=+-@'\",;|\t\n \u200b\uff1d\u2212ab1"), max_size=9)
words = sharp | st.text(max_size=6)


@given(words)
def test_what_writing_puts_there_is_what_reading_takes_off(text):
    assert as_it_was(harmless(text)) == text


@given(st.lists(st.tuples(words, words), max_size=4))
def test_a_table_is_read_as_it_was_written(lines):
    data = table_bytes(("a", "b"), lines)
    read = [line.cells for line in read_table(text_of(data)).lines]
    assert read == [("a", "b"), *(line for line in lines if any(map(str.strip, line)))]


@pytest.mark.parametrize("text", ["'=1", "'quoted", "''", "'", "a;'=1", "=1", "', =1"])
def test_apostrophes_of_ones_own_stay(text):
    assert as_it_was(harmless(text)) == text != harmless(text)


@pytest.mark.parametrize("text", ["rock 'n' roll", "Gull's Back", "O'-Brien", "'quoted", "'"])
def test_a_table_made_by_hand_keeps_its_apostrophes(text):
    (_, line) = read_table(f"name\n{text}\n").lines
    assert line.cells == (text,)


def test_a_line_that_is_none_is_named():
    with pytest.raises(DesignError, match="Line 2 isn't a table's"):
        tuple(read_table('a\n"b').lines)


# --- the shelf's tables ----------------------------------------------------------------------


def cells_of(data):
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))[1]


@pytest.mark.parametrize("lot", ["a;=1+1", "\uff1d1+1", "\u22121", "x|@SUM(1)", 'a","=1'])
def test_the_shelfs_table_is_as_harmless_as_those_on_paper(lot):
    entry = yarn(lot=lot)
    cell = cells_of(shelf.shelf_table([entry]))[list(shelf.COLUMNS).index("dye_lot")]
    assert cell == harmless(lot) != lot
    (line,) = shelf.read_table(text_of(shelf.shelf_table([entry])))
    assert line.values["lot"] == lot


def test_numbers_of_the_shelfs_table_stay_numbers():
    row = shelf.shelf_table([yarn(remnants=(2.5, 3.0))]).decode().splitlines()[1]
    assert ",105.0,50.0," in row and ',3,"2.5 + 3.0",' in row


# As the shelf wrote tables before: only the beginning of a cell was looked at.
BEFORE = BOM + (
    "name,colour,fibre,dye_lot,notes\r\n"
    "'=1+1,#2a6f97,''quoted,'-3,'@here\r\n"
    'Sea,#2a6f97,\'\'=1,"a; b, c","two\nlines"\r\n'
)


def test_tables_of_earlier_programs_are_read_as_they_were_meant():
    one, two = (line.values for line in shelf.read_table(BEFORE))
    assert (one["name"], one["fibre"], one["lot"]) == ("=1+1", "'quoted", "-3")
    assert one["notes"] == "@here"
    assert (two["fibre"], two["lot"], two["notes"]) == ("'=1", "a; b, c", "two\nlines")


def test_the_mark_at_a_tables_start_is_written_in_one_place():
    root = Path(__file__).parents[2]
    found = [
        path.name
        for folder in ("core", "app")
        for path in (root / folder).rglob("*.py")
        if "utf-8-sig" in (text := path.read_text(encoding="utf-8")) or '"\\ufeff"' in text
    ]
    assert found == ["spreadsheet.py"]
