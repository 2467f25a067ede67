"""Lists of a shelf's yarns, out and in again."""

import csv
import io

import pytest
from any_entry import entries
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shelved import yarn

from core.records import replace
from core.shelf.entry import Aside, identity
from core.shelf.faults import ShelfError
from core.shelf.merging import differences, merged
from core.shelf.table import COLUMNS, read_table, shelf_table
from core.shelf.written import read_written, written_text


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(entries, max_size=6, unique_by=identity))
def test_a_shelf_written_out_and_taken_in_is_the_same(some):
    for read, text in (
        (read_table, shelf_table(some).decode()),
        (read_written, written_text(some)),
    ):
        changes = differences(some, read(text))
        assert [difference.kind for difference in changes] == ["same"] * len(some)
        anew = differences((), read(text))
        assert [difference.kind for difference in anew] == ["new"] * len(some)
        made = merged("Take", anew).after
        kept = [made[entry.uid] for entry in some]
        if read is read_table:  # what is put aside isn't in the table
            kept = [replace(new, asides=old.asides) for new, old in zip(kept, some, strict=True)]
        assert kept == some


@given(st.lists(entries, min_size=1, max_size=4))
def test_no_cell_of_the_table_is_a_formula(some):
    table = list(csv.reader(io.StringIO(shelf_table(some).decode("utf-8-sig"), newline="")))
    assert table[0] == list(COLUMNS)
    for cells in table[1:]:
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) for cell in cells)


def test_a_table_with_semicolons_and_commas_is_read():
    (line,) = read_table("name;colour;metres_per_ball;remnants_g\r\nSea;#2A6F97;105,5;12,5 + 3\r\n")
    new = line.as_new()
    assert (new.ball_m, new.remnants, new.colour) == (105.5, (12.5, 3.0), "#2a6f97")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "no column"), ("name\nSea", '"colour"'), ("name,colour,size\nSea,#123456,3", '"size"'),
        ("name,colour,name\nSea,#123456,x", "twice"), ("name,colour\nSea", "Line 2 has 1"),
        ("name,colour\nSea,blue", "Line 2: Sea"), ("name,colour,balls\nSea,#123456,1.5", "1.5"),
        ("name,colour,balls\nSea,#123456,nan", "nan"),
        ("name,colour,metres_per_ball\nSea,#123456,inf", "from 0.1"),
        ("name,colour,price_per_ball\nSea,#123456,1e999", "from 0"),
        ('name,colour\n"Sea,#123456', "Line 2"), ("name,colour,id\nSea,#123456,zz", "its id"),
    ],
)  # fmt: skip
def test_a_table_that_is_none_names_its_line(text, told):
    with pytest.raises(ShelfError) as caught:
        differences((), read_table(text))
    assert told in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "", "[]", "{}", "[" * 100_000, '{"format": "dipslope-shelf", "version": 2, "yarns": []}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": 3}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [3]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": 3}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"nam": "Sea"}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "Sea", "colour": "#123456",'
        ' "ball_m": NaN}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "Sea", "colour": "#123456",'
        ' "balls": true}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "S", "colour": "#123456",'
        ' "remnants": [{}]}]}',
    ],
)  # fmt: skip
def test_a_list_that_is_none_is_refused(text):
    with pytest.raises(ShelfError):
        read_written(text)


def test_a_list_taken_twice_changes_nothing_the_second_time(store):
    text = "name,colour,dye_lot,balls\nSea,#2a6f97,A,3\nSea,#2a6f97,B,2\n"
    first = differences((), read_table(text))
    there = store.apply(merged("Take", first)).entries
    again = differences(there, read_table(text))
    assert [difference.kind for difference in again] == ["same", "same"]
    more = differences(there, read_table("name,colour,dye_lot,balls\nSEA ,#2A6F97,a,5\n"))
    assert [(d.kind, d.fields) for d in more] == [("changed", ("name", "lot", "balls"))]


def test_one_yarn_twice_in_a_list_is_told_by_both_lines():
    with pytest.raises(ShelfError, match="Line 2 and Line 3"):
        differences((), read_table("name,colour\nSea,#2a6f97\nsea,#2a6f97\n"))


def test_a_yarn_that_would_stand_there_twice_is_not_taken():
    a, b = yarn(lot="A"), yarn(lot="B")
    (found,) = differences((a, b), read_table(f"name,colour,dye_lot,id\nSea,#2a6f97,B,{a.uid}\n"))
    assert found.kind == "twice" and not found.can_be_taken
    assert merged("Take", [found]).is_empty
    twins = (yarn(), yarn())
    (found,) = differences(twins, read_table("name,colour\nSea,#2a6f97\n"))
    assert found.kind == "twice"


def test_a_column_left_out_leaves_what_is_there(store):
    sea = yarn(notes="kept", remnants=(4.0,), asides=(Aside("A", 1.0),), price=3.0)
    (found,) = differences((sea,), read_table("name,colour,balls\nSea,#2a6f97,7\n"))
    assert found.after == replace(sea, balls=7)


def test_an_old_list_is_taken_in_without_signs_no_longer_allowed():
    old = '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "S\u202eea", '
    old += '"colour": "#123456", "notes": "x\u2028y", "asides": [{"title": "A\x9b", "grams": 2}]}]}'
    (line,) = read_written(old)
    new = line.as_new()
    assert (new.name, new.notes, new.asides) == ("Sea", "x\ny", (Aside("A", 2.0),))
    (line,) = read_table("name,colour\r\nS\u202eea,#123456\r\n")
    assert line.as_new().name == "Sea"
    assert written_text([new]) == written_text([read_written(written_text([new]))[0].as_new()])
