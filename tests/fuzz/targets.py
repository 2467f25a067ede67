"""What takes bytes or text from strangers, each as a plain function that must not fail.

`TARGETS[name](data)` returns nothing, whatever the bytes are. What is refused in words is well
refused; anything else that is raised is a fault. Each also asks for something that must hold of
what was taken, so that nonsense taken in silence is found too.
"""

import contextlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from core.chart.layout import lay_out
from core.design import edits
from core.design.files import design_bytes, design_from_bytes, design_text, read_design
from core.design.journal import MARK, Record, newest, pack
from core.design.validation import checked
from core.design.versions import SUFFIX, VersionStore
from core.errors import DesignError
from core.pipeline import Pipeline
from core.reading.reading import read_text
from core.reading.taking import take_reading
from core.stripes.clipboard import stripes_in, text_of
from core.stripes.dates import read_dates, widths_of
from core.stripes.series import read_widths
from core.words.write import write_pattern

ROOT = Path(__file__).resolve().parents[2]
CRASHES = ROOT / "tests" / "files" / "crashes"
DESIGN = edits.set_size(read_design(ROOT / "assets" / "harbour-steps.dipslope"), repeats=2, rows=6)
LONGEST_S = 5.0
"""A case that takes longer counts as a fault."""
_MOST_STITCHES = 3_000  # of a design that the stages are run on

One = Callable[[bytes], None]


def text_in(data: bytes) -> str:
    """Return bytes as the text a field or the clipboard could hold, lone surrogates too."""
    return data.decode("utf-8", "surrogatepass" if data[:1] == b"\xed" else "replace")


def one_design(data: bytes) -> None:
    """The reader of design files: what it takes is written and read as the same."""
    with contextlib.suppress(DesignError):
        design = design_from_bytes(data)
        assert design_from_bytes(design_text(design).encode()) == design
        assert design_from_bytes(design_bytes(design)) == design


def one_blanket(data: bytes) -> None:
    """All that follows from a design that was taken: rows, fabric, chart, words, findings."""
    try:
        design = design_from_bytes(data)
    except DesignError:
        return
    widest = max(row.makes(design.size.repeats) for row in design.wave.rows_in_turn)
    if widest * design.size.rows > _MOST_STITCHES:
        design = edits.set_size(design, repeats=1, rows=min(design.size.rows, 6))
    results = Pipeline().results(design)
    if results.rows.drawn_rows:
        lay_out(design, results.rows, results.fabric)
        write_pattern(design, results.rows)


def one_text(data: bytes) -> None:
    """The reader of written rows: what it makes is within a design's bounds."""
    text = data[:6000].decode("utf-8", "replace")
    reading = read_text(text)
    taken = take_reading(reading, DESIGN)
    if taken.design is not None:
        checked(taken.design)
    for trouble in reading.troubles:
        assert 0 <= trouble.start <= trouble.end <= len(text), trouble


def one_picture(data: bytes) -> None:
    """The reader of pictures: what it takes is small."""
    from app.pictures import read_picture  # needs Qt, the others don't

    with tempfile.NamedTemporaryFile(suffix=".png") as file:
        file.write(data)
        file.flush()
        with contextlib.suppress(DesignError):
            picture = read_picture(Path(file.name))
            assert max(picture.image.width(), picture.image.height()) <= 720
            assert picture.pixels.shape[2] == 4


def one_clipboard(data: bytes) -> None:
    """Stripes from the clipboard: what it takes fits into the design."""
    try:
        text = data.decode("utf-8", "surrogatepass")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    with contextlib.suppress(DesignError):
        stripes = stripes_in(text, DESIGN)
        checked(edits.set_sequence(DESIGN, stripes))
        assert stripes_in(text_of(DESIGN, stripes), DESIGN)


def one_dates(data: bytes) -> None:
    """Dates and widths that are typed: what is taken adds up."""
    text = data.decode("utf-8", "replace")
    with contextlib.suppress(DesignError):
        dates = read_dates(text)
        for way in ("digits", "parts", "between"):
            with contextlib.suppress(DesignError):
                widths = widths_of(dates, way, 96)
                assert all(rows >= 1 for rows, _ in widths)
                assert way != "between" or sum(rows for rows, _ in widths) == 96
    with contextlib.suppress(DesignError):
        assert all(1 <= width <= 5000 for width in read_widths(text))


def one_journal(data: bytes) -> None:
    """A journal from a disk that failed: a whole record or none; one behind it is found."""
    found = newest(data)
    if found is not None:
        with contextlib.suppress(DesignError):
            design_from_bytes(found.data)
    sound = Record({"n": 1}, b"{}")
    assert newest(data.replace(MARK, b"") + pack(sound)) == sound


def one_version(data: bytes) -> None:
    """A folder of versions with a strange file in it: it is passed over or listed, and opened."""
    with tempfile.TemporaryDirectory() as name:
        store = VersionStore(Path(name))
        about, _, rest = data.partition(b"\n")
        (Path(name) / f"000000000000001-saved{SUFFIX}").write_bytes(data)
        with contextlib.suppress(ValueError, RecursionError):  # a sound record about anything
            import json

            told = json.loads(about)
            if isinstance(told, dict):
                packed = pack(Record(told, rest))
                (Path(name) / f"000000000000002-saved{SUFFIX}").write_bytes(packed)
        store.belongs_to()
        for version in store.versions():
            with contextlib.suppress(DesignError):
                store.design(version)


TARGETS: dict[str, One] = {
    "design": one_design,
    "blanket": one_blanket,
    "text": one_text,
    "picture": one_picture,
    "clipboard": one_clipboard,
    "dates": one_dates,
    "journal": one_journal,
    "version": one_version,
}
