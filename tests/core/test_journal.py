"""The journal: whatever is torn off or damaged, the newest whole record comes back."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.design import disk, edits
from core.design.files import design_bytes, design_from_bytes
from core.design.journal import (
    MARK,
    MOST_BYTES,
    Journal,
    Record,
    newest,
    pack,
    read_newest,
)

texts = st.binary(max_size=400)
records = st.lists(
    st.builds(Record, st.fixed_dictionaries({"n": st.integers()}), texts), max_size=6
)


def spans(found):
    """Return each record's bytes and where they stand in the journal."""
    packed = [pack(record) for record in found]
    ends = [sum(map(len, packed[: n + 1])) for n in range(len(packed))]
    return b"".join(packed), [(end - len(p), end) for p, end in zip(packed, ends, strict=True)]


@given(records)
def test_the_last_record_added_is_the_newest(found):
    data, _ = spans(found)
    assert newest(data) == (found[-1] if found else None)


@given(records, st.data())
def test_a_journal_cut_off_anywhere_gives_its_newest_whole_record(found, data):
    journal, places = spans(found)
    kept = data.draw(st.integers(0, len(journal)))
    whole = [record for record, (_, end) in zip(found, places, strict=True) if end <= kept]
    assert newest(journal[:kept]) == (whole[-1] if whole else None)


@settings(max_examples=300)
@given(records.filter(bool), st.data())
def test_a_journal_damaged_anywhere_gives_its_newest_undamaged_record(found, data):
    journal, places = spans(found)
    broken = bytearray(journal)
    hit = set()
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(journal) - 1))
        length = data.draw(st.integers(1, 40))
        for place in range(at, min(at + length, len(journal))):
            broken[place] ^= data.draw(st.integers(1, 255))
            hit ^= {place}  # two changes may undo one another
    hit = {place for place in range(len(journal)) if broken[place] != journal[place]}
    whole = [
        record
        for record, (start, end) in zip(found, places, strict=True)
        if not any(start <= place < end for place in hit)
    ]
    assert newest(bytes(broken)) == (whole[-1] if whole else None)


@given(records, texts, st.integers(0, 5))
def test_something_strange_between_records_hides_none(found, strange, where):
    packed = [pack(record) for record in found]
    packed.insert(min(where, len(packed)), strange)
    assert newest(b"".join(packed)) == (found[-1] if found else None)


@given(st.binary(max_size=300))
@example(MARK)
@example(MARK * 3)
@example(MARK + b"\xff" * 40)
def test_any_bytes_are_a_journal_or_none(data):
    assert newest(data) is None


def test_a_record_about_anything_but_an_object_is_none():
    import struct
    import zlib
    from hashlib import blake2b

    packed = zlib.compress(b"[1]\nx")
    digest = blake2b(packed, digest_size=16).digest()
    assert newest(MARK + struct.pack(">I16s", len(packed), digest) + packed) is None


def test_a_record_that_unpacks_without_end_is_none():
    import struct
    import zlib
    from hashlib import blake2b

    packed = zlib.compress(b"{}\n" + bytes(40_000_000))
    digest = blake2b(packed, digest_size=16).digest()
    assert newest(MARK + struct.pack(">I16s", len(packed), digest) + packed) is None


def test_a_design_comes_back_as_it_was(two_row_ripple, tmp_path):
    journal = Journal(tmp_path / "a.journal")
    for rows in range(2, 30):
        design = edits.set_size(two_row_ripple, rows=rows)
        journal.add(Record({"path": None}, design_bytes(design)))
        assert design_from_bytes(read_newest(journal.path).data) == design
    journal.clear()
    assert not journal.path.exists()


def test_a_journal_stays_small_however_long_one_works(two_row_ripple, tmp_path):
    import random

    journal = Journal(tmp_path / "a.journal")
    rest = random.Random(1).randbytes(100_000)
    largest = 0
    for n in range(60):
        journal.add(Record({"n": n}, rest))
        largest = max(largest, disk.size_of(journal.path))
    assert largest <= 1_200_000 < MOST_BYTES
    assert read_newest(journal.path).about == {"n": 59}


def test_after_a_torn_write_the_journal_is_written_anew(two_row_ripple, tmp_path, monkeypatch):
    journal = Journal(tmp_path / "a.journal")
    journal.add(Record({"n": 1}, b"one"))
    written = disk._write_all

    def torn(handle, data):
        written(handle, data[: len(data) // 2])
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(disk, "_write_all", torn)
        with pytest.raises(OSError):
            journal.add(Record({"n": 2}, b"two"))
    assert read_newest(journal.path).about == {"n": 1}
    journal.add(Record({"n": 3}, b"three"))
    assert journal.path.read_bytes() == pack(Record({"n": 3}, b"three"))
