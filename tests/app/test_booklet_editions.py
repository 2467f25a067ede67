"""Languages, sizes, stripe names and large type of booklets, in the files as poppler reads them."""

import re
import shutil
import subprocess

import msgspec
import pytest

from app.booklet.pages import laid_out
from app.booklets import booklet_ending, booklet_source
from core.booklet.options import EDITIONS, Options
from core.design.document import NamedSize, Stripe, Yarn
from core.design.files import read_design
from core.pipeline import Pipeline
from core.reading.reading import read_text
from core.reading.shaping import row_units
from core.words.pattern import Table

pytestmark = pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler isn't installed")

SIZES = (
    NamedSize(name="pram", repeats=7, rows=60),
    NamedSize(name="Reading room", repeats=11, rows=96),
    NamedSize(name="single bed", repeats=18, rows=160),
)
LONG = "Samphire Bed of the second dye lot, washed twice and dried out of doors all week"
PAGED = [edition.key for edition in EDITIONS if edition.has_pages]


@pytest.fixture(scope="module")
def demo(demo_path):
    """The demo in three sizes, a stripe named, a yarn with as long a name as there may be."""
    design = read_design(demo_path)
    stripes = list(design.stripes.sequence)
    stripes[1] = Stripe(stripes[1].yarn, stripes[1].rows, label="first light over the harbour wall")
    yarns = (*design.yarns[:1], _renamed(design.yarns[1], LONG), *design.yarns[2:])
    sequence = msgspec.structs.replace(design.stripes, sequence=tuple(stripes))
    named = msgspec.structs.replace(design, sizes=SIZES, stripes=sequence, yarns=yarns)
    return Pipeline().settled_results(named)


def _renamed(yarn: Yarn, name: str) -> Yarn:
    assert len(name) == 80
    return msgspec.structs.replace(yarn, name=name)


def run(*words):
    return subprocess.run(list(map(str, words)), check=True, capture_output=True, text=True).stdout


@pytest.fixture(scope="module")
def made(demo, qapp, tmp_path_factory):
    """Return a booklet's file, its text and its tree; each is made once."""
    known = {}

    def make(**options):
        key = tuple(sorted(options.items()))
        if key not in known:
            laid = laid_out(booklet_source(demo, Options(**options)))
            path = tmp_path_factory.mktemp("booklet") / "b.pdf"
            path.write_bytes(laid.pdf())
            known[key] = path, run("pdftotext", "-raw", path, "-"), laid.booklet
        return known[key]

    return make


def spaced(text):
    return re.sub(r"\s+", " ", text)


# language


def grams(text, n=3):
    words = re.findall(r"[^\W\d_]+", text)
    return {tuple(words[at : at + n]) for at in range(len(words) - n + 1)}


@pytest.mark.parametrize("edition", PAGED)
def test_pages_in_german_share_no_three_words_with_the_english_ones(made, demo, edition):
    """But for what the designer typed: title, names, notes, contact, permission."""
    design = demo.design
    typed = " ".join(
        [design.title, design.designer, design.notes, design.contact, design.licence]
        + [yarn.name for yarn in design.yarns]
        + [stripe.label for stripe in design.stripes.sequence]
    )
    own = {*re.findall(r"[^\W\d_]+", typed), "mm", "cm"}
    both = grams(made(edition=edition)[1]) & grams(made(edition=edition, language="de")[1])
    assert len(grams(made(edition=edition)[1])) > 500
    assert not [g for g in both if not all(word in own or len(word) == 1 for word in g)]


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_file_says_title_author_and_language_and_claims_no_tags(made, language):
    path, _, booklet = made(language=language)
    assert b"/Lang (%s)" % language.encode() in path.read_bytes()
    info = run("pdfinfo", path)
    assert re.search(rf"Title:\s+{booklet.title}\n", info)
    assert re.search(rf"Author:\s+{booklet.designer}\n", info)
    assert re.search(r"Tagged:\s+no", info)
    assert b"MarkInfo" not in path.read_bytes()


# sizes


def test_all_sizes_stand_in_one_text_with_a_table(made):
    _, text, booklet = made(size="all")
    told = spaced(text)
    (table,) = [node for node in booklet.part("sizes").nodes if isinstance(node, Table)]
    assert [row[0] for row in table.rows] == ["pram", "Reading room", "single bed"]
    assert len(table.head) > 5 and all(len(row) == len(table.head) for row in table.rows)
    for column in range(1, len(table.head)):  # turned: sizes stand side by side
        assert " ".join([table.head[column], *(row[column] for row in table.rows)]) in told
    assert "ch 99 (147, 231)" in told  # 12 x repeats + 15
    assert "those of: Reading room" in told


def test_a_copy_for_one_size_is_that_size_throughout(made):
    _, text, booklet = made(size=0)
    told = spaced(text)
    assert "This copy is for one size: pram" in told
    assert "Foundation: With Deep Mooring, ch 99" in told
    assert "until 60 rows are worked" in told
    assert booklet.part("sizes") is None
    assert "147" not in told and "96 rows" not in told


def test_both_sizes_texts_name_the_same_measures(made):
    """A copy for one size and the table of all of them differ by no more than a centimetre."""
    (table,) = [n for n in made(size="all")[2].part("sizes").nodes if isinstance(n, Table)]
    width, length = (float(table.rows[0][n].split()[0]) for n in (5, 6))
    stated = dict(made(size=0)[2].facts.facts)["Size"]
    wide, long = map(float, re.match(r"(\d+) × (\d+) cm", stated).groups())
    assert abs(wide - width) <= 1
    assert abs(long - length) <= 1


def test_file_names_say_size_and_language(demo):
    assert booklet_ending(Options(size="all"), demo.design) == "-booklet-all-sizes.pdf"
    assert booklet_ending(Options(size=2, language="de"), demo.design) == "-booklet-de-18x160.pdf"
    assert booklet_ending(Options(size=1), demo.design) == "-booklet.pdf"


def test_a_size_that_is_gone_is_the_designs_own(demo):
    options = Options(size=7)
    assert options.size_of(demo.design) == (11, 96)
    assert not options.has_all_sizes(demo.design)


# names


@pytest.mark.parametrize("edition", PAGED)
def test_names_are_never_cut(made, edition):
    told = spaced(made(edition=edition)[1])
    assert told.count(LONG) > 8  # in the list, in the key, for every one of its stripes
    assert told.count("Limewash, “first light over the harbour wall”") >= 4
    assert "…" not in told


# large type


def test_the_large_edition_can_be_worked_without_a_chart(made, demo):
    """Its rows, read from the file, are the chart's; so are sides, loops, turn and colours."""
    _, text, booklet = made(edition="large")
    body = re.sub(r"\n?[^\n]*\n[^\n]*version [0-9a-f-]+\s+\d+ of \d+\n?\f?", "\n", text)
    told = spaced(body)
    rows = told[told.index("Rows Foundation:") + 5 : told.index("Fasten off")]
    rows = re.sub(r" (?=(?:Rows? \d+|Markers)\b[^:]{0,20}:)", "\n", rows)
    reading = read_text(rows, terms="UK")
    assert not [trouble for trouble in reading.troubles if trouble.level == "error"]
    assert reading.chains == demo.rows.foundation.chains
    for number in (1, 2, 3, 96):
        plan = demo.rows.plan(number)
        assert reading.row(number).flat.units == row_units(plan.row, plan.repeats)
    assert "Rows 1 and 3 start at the right edge; row 2 starts at the left edge." in told
    assert "Worked in the back loops from row 2 on." in told
    assert "The turning chain of 3 stands for the first stitch." in told
    ticks = re.findall(r"2 rows: (\d+)–(\d+)", told)
    assert [int(last) for _, last in ticks] == list(range(2, 97, 2))
    pictures = run("pdfimages", "-list", made(edition="large")[0]).splitlines()[2:]
    assert len(pictures) == 2  # blanket and close-up: no chart
    assert booklet.part("chart").heading == "The chart in words"


def test_large_type_stands_in_one_column_with_nothing_cut_at_the_foot(made):
    for language in ("en", "de"):
        path, text, booklet = made(edition="large", language=language)
        pages = text.split("\f")[:-1]
        assert all(booklet.version in page for page in pages)
        fonts = run("pdffonts", path).splitlines()[2:]
        assert all("Cabin" in line and "Italic" not in line for line in fonts)


def test_a_number_and_its_times_stay_on_one_line(made):
    for edition in PAGED:
        assert not re.search(r"\d-\n", made(edition=edition, language="de")[1])
