"""Booklets on pages, read back by other programs: poppler and Ghostscript."""

import re
import shutil
import subprocess
import threading
import xml.etree.ElementTree as ET

import pytest
from PySide6.QtGui import QImage
from some import some

from app.booklet.flow import Column, Start, flowed
from app.booklet.manner import MANNERS, MM
from app.booklet.pages import laid_out
from app.booklet.pieces import TextPiece
from app.booklet.setting import Run, SetText, bold_ranges
from app.booklets import booklet_ending, booklet_source
from app.exporting import write_exports
from app.painting.choices import Choices
from core.booklet.nodes import Points
from core.booklet.options import PAGES_MM, Options
from core.design.document import Border, Edging, EndFill, Wave
from core.design.edits import set_size, set_values, set_wave
from core.design.files import read_design
from core.errors import Stopped
from core.pipeline import Pipeline
from core.records import replace
from core.stripes.colour import contrast
from core.words.pattern import Pattern, Section, Table

pytestmark = pytest.mark.skipif(not shutil.which("pdftotext"), reason="poppler isn't installed")

EDITIONS = ("full", "plain", "large")
PRINTS = [(edition, page) for edition in EDITIONS for page in PAGES_MM]
HTML = "{http://www.w3.org/1999/xhtml}"


@pytest.fixture(scope="module")
def demo(demo_path):
    return Pipeline().settled_results(read_design(demo_path))


@pytest.fixture(scope="module")
def bordered(demo_path):
    """A small blanket with straight ends and a border, for an infant."""
    fill = EndFill(yarn=2)
    design = set_values(
        set_size(read_design(demo_path), repeats=7, rows=36),
        edging=Edging(top=fill, bottom=fill, border=Border(rounds=2, yarn=2)),
    )
    return Pipeline().settled_results(design)


def run(*words):
    return subprocess.run(list(map(str, words)), check=True, capture_output=True, text=True).stdout


class Pdf:
    """A booklet's file and what other programs say of it."""

    def __init__(self, results, folder, **options):
        self.laid = laid_out(booklet_source(results, Options(**options)))
        self.path = folder / "booklet.pdf"
        self.path.write_bytes(self.laid.pdf())
        self.pages = [
            re.sub(r"\s+", " ", page)
            for page in run("pdftotext", "-raw", self.path, "-").split("\f")[:-1]
        ]

    @property
    def words(self):
        """Every page's size and words as (left, top, right, bottom, text), in points."""
        root = ET.fromstring(run("pdftotext", "-bbox", self.path, "-"))
        for page in root.iter(f"{HTML}page"):
            size = float(page.get("width")), float(page.get("height"))
            boxes = [
                (*(float(w.get(k)) for k in ("xMin", "yMin", "xMax", "yMax")), w.text)
                for w in page.iter(f"{HTML}word")
            ]
            yield size, boxes


@pytest.fixture(scope="module")
def files(demo, qapp, tmp_path_factory):
    return {
        (edition, page): Pdf(demo, tmp_path_factory.mktemp(edition), edition=edition, page=page)
        for edition, page in PRINTS
    }


@pytest.mark.parametrize("which", PRINTS, ids="-".join)
def test_pages_have_the_papers_size_and_fonts_are_in_the_file(files, which):
    pdf = files[which]
    info = run("pdfinfo", pdf.path)
    assert re.search(r"Title:\s+Harbour Steps throw\n", info)
    assert re.search(r"Author:\s+The Harbour Steps workroom\n", info)
    wide, high = map(float, re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", info).groups())
    assert (wide, high) == pytest.approx([mm / 25.4 * 72 for mm in PAGES_MM[which[1]]], abs=0.6)
    assert int(re.search(r"Pages:\s+(\d+)", info)[1]) == len(pdf.laid.pages) == len(pdf.pages)
    fonts = run("pdffonts", pdf.path).splitlines()[2:]
    assert fonts
    assert all("Cabin" in line and line.split()[-5] == "yes" for line in fonts)


@pytest.mark.parametrize("which", PRINTS, ids="-".join)
def test_every_row_stands_whole_on_one_page_and_in_order(files, which):
    pdf = files[which]
    at = -1
    for line in some(pdf.laid.source.pattern.section("rows").blocks):
        text = re.sub(r"\s+", " ", line.plain)
        pages = [n for n, page in enumerate(pdf.pages) if text in page]
        assert pages, text
        place = pages[0] * 1e6 + pdf.pages[pages[0]].index(text)
        assert place > at
        at = place


def headings_stand_over_their_text(pdf):
    for part in pdf.laid.booklet.parts:
        first = part.nodes[0]
        text = first.points[0] if isinstance(first, Points) else getattr(first, "plain", "")
        if not text:
            continue  # a picture: its caption comes after it
        start = re.sub(r"\s+", " ", text)[:25]
        wanted = re.escape(part.heading) + ".{0,6}" + re.escape(start)
        assert any(re.search(wanted, page) for page in pdf.pages), part.heading


@pytest.mark.parametrize("which", PRINTS, ids="-".join)
def test_no_heading_is_last_on_its_page_or_parted_from_its_text(files, which):
    headings_stand_over_their_text(files[which])


@pytest.mark.parametrize("which", PRINTS, ids="-".join)
def test_nothing_stands_outside_the_margins(files, which):
    margin = MANNERS[which[0]].margin_mm / 25.4 * 72
    for (wide, high), words in some(files[which].words):
        assert words
        assert min(w[0] for w in words) >= margin - 0.5
        assert max(w[2] for w in words) <= wide - margin + 0.5
        assert min(w[1] for w in words) >= margin - 2.0  # ascent above the capitals
        assert max(w[3] for w in words) <= high - margin + 2.0


@pytest.mark.parametrize("page", PAGES_MM)
def test_large_type_is_24_points_or_more_and_upright(files, page):
    # Common practice for very large print: 24 points, sans serif, no italics.
    root = ET.fromstring(
        re.sub(
            r"<!DOCTYPE.*?>",
            "",
            run("pdftohtml", "-xml", "-i", "-zoom", "1", "-stdout", files["large", page].path),
        )
    )
    sizes = {spec.get("id"): float(spec.get("size")) for spec in root.iter("fontspec")}
    used = {text.get("font") for text in root.iter("text") if "".join(text.itertext()).strip()}
    assert min(sizes[font] for font in used) >= 24
    assert not list(root.iter("i"))
    families = {spec.get("family").split("+")[-1].lower() for spec in root.iter("fontspec")}
    assert all("cabin" in family for family in families)


@pytest.mark.parametrize("which", PRINTS, ids="-".join)
def test_every_page_has_title_terms_version_and_number(files, which):
    pdf = files[which]
    for number, page in enumerate(pdf.pages, 1):
        for said in ("Harbour Steps throw", "UK terms", pdf.laid.booklet.version):
            assert said in page
        assert f"{number} of {len(pdf.pages)}" in page


def test_every_part_has_a_bookmark_on_the_page_it_begins(files):
    pdf = files["full", "a4"]
    root = ET.fromstring(
        re.sub(r"<!DOCTYPE.*?>", "", run("pdftohtml", "-xml", "-i", "-stdout", pdf.path))
    )
    marks = [(item.text, int(item.get("page"))) for item in root.find("outline").iter("item")]
    assert [title for title, _ in marks] == [part.heading for part in pdf.laid.booklet.parts]
    assert all(title in pdf.pages[page - 1] for title, page in marks)


@pytest.mark.skipif(not shutil.which("gs"), reason="Ghostscript isn't installed")
@pytest.mark.parametrize("edition", EDITIONS)
def test_another_interpreter_reads_the_file_without_complaint(files, edition):
    said = subprocess.run(
        ["gs", "-q", "-dNOPAUSE", "-dBATCH", "-sDEVICE=nullpage", files[edition, "a4"].path],
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout + said.stderr == ""


def test_the_plain_edition_is_without_colour_short_and_thrifty(files, tmp_path):
    ink = {}
    for edition in ("full", "plain"):
        pdf = files[edition, "a4"]
        run("pdftoppm", "-r", 40, "-png", pdf.path, tmp_path / edition)
        shots = [QImage(str(path)) for path in sorted(tmp_path.glob(f"{edition}-*.png"))]
        grey = [shot.convertToFormat(QImage.Format.Format_Grayscale8) for shot in shots]
        ink[edition] = sum(
            255 - shot.pixelColor(x, y).red()
            for shot in grey
            for x in range(0, shot.width(), 2)
            for y in range(0, shot.height(), 2)
        )
        if edition == "plain":
            for shot in shots:
                for x in range(0, shot.width(), 3):
                    for y in range(0, shot.height(), 3):
                        colour = shot.pixelColor(x, y)
                        assert max(colour.red(), colour.green(), colour.blue()) - min(
                            colour.red(), colour.green(), colour.blue()
                        ) <= 2  # fmt: skip
    assert ink["plain"] < 0.5 * ink["full"]
    assert len(files["plain", "a4"].pages) <= 0.5 * len(files["full", "a4"].pages) + 0.5


def test_each_stripe_is_ticked_off_with_its_letter_and_running_total(files):
    # Common practice: a list by stripe with its rows and the rows so far.
    from core.booklet.stripes import ticks_of

    pdf = files["plain", "a4"]
    told = " ".join(pdf.pages)
    for tick in some(ticks_of(pdf.laid.source.results, pdf.laid.source.words)):
        assert (
            f"{tick.letter} {tick.name} {tick.rows} {tick.span(pdf.laid.source.words)} {tick.last}"
            in told
        )


def chart_numbers(pdf):
    """Return where the chart's row numbers stand: row by its left edge in points."""
    for _, words in pdf.words:
        mark = next((w for w in words if w[4] == "repeat:"), None)
        if mark is not None:
            above = [w for w in words if w[3] < mark[1] and w[4] in "123"]
            return {int(w[4]): w[0] for w in above}
    raise AssertionError("there is no chart")


def test_the_left_handed_chart_is_mirrored_with_numbers_where_rows_begin(demo, tmp_path, files):
    # Common practice: a left-handed chart is mirrored, its letters and numbers are not.
    right = chart_numbers(files["full", "a4"])
    assert right[2] < right[1]
    pdf = Pdf(demo, tmp_path, hand="left")
    left = chart_numbers(pdf)
    assert left[1] < left[2]
    assert "Left-handed" in pdf.pages[0]
    sheets = [f.laid.source.sheet.chart.fabric.row_tops_mm(2) for f in (files["full", "a4"], pdf)]
    mirrored = -sheets[0][::-1] + (sheets[0][0] + sheets[0][-1])[0]
    assert sheets[1][:, 0] - sheets[1][0, 0] == pytest.approx(
        mirrored[:, 0] - mirrored[0, 0], abs=0.05
    )


def test_draft_is_stamped_on_every_page_of_what_cannot_be_worked(demo, qapp, tmp_path):
    wave = demo.design.wave
    odd = set_wave(demo.design, Wave(wave.start, wave.repeat, wave.end[:-1]))
    for edition in EDITIONS:
        pdf = Pdf(Pipeline().settled_results(odd), tmp_path, edition=edition)
        assert all("DRAFT" in page for page in pdf.pages)
        assert "Row 2 needs 143 stitches" in pdf.pages[0]
        headings_stand_over_their_text(pdf)


def test_no_page_of_a_fit_design_is_stamped(files):
    assert not any("DRAFT" in page for pdf in files.values() for page in pdf.pages)


@pytest.mark.parametrize("edition", EDITIONS)
def test_fills_and_border_are_in_the_booklet_with_an_infants_caution(
    bordered, qapp, tmp_path, edition
):
    pdf = Pdf(bordered, tmp_path, edition=edition)
    title, rest = pdf.laid.booklet.foot
    foot = rf"{re.escape(title)}( ·)? {re.escape(rest)}( ·)? \d+ of \d+ ?$"
    bodies = [re.sub(foot, "", page) for page in pdf.pages]
    assert all(body != page for body, page in zip(bodies, pdf.pages, strict=True))
    for name in ("fill", "border"):
        for block in pdf.laid.booklet.part(name).nodes:
            text = re.sub(r"\s+", " ", block.plain)
            if block.label:
                assert any(text in body for body in bodies), text
            else:
                assert text in re.sub(r"\s+", " ", " ".join(bodies)), text
    assert "safe-sleep" in " ".join(bodies)


LONG = Table(
    ("Row", "What to do", "Stitches"),
    tuple((f"{n}", f"work number {n} as the words say", f"{n * 12} sts") for n in range(1, 121)),
    "Every row of it",
)
TOO_WIDE = Table(  # either way round
    tuple(f"Head{n}" for n in range(14)),
    tuple(tuple(f"unbreakable{n}" for n in range(14)) for _ in range(14)),
)


def with_table(demo, folder, table, **options):
    source = booklet_source(demo, Options(**options))
    more = Section("more", "More", (table,))
    sections = (*source.pattern.sections[:2], more, *source.pattern.sections[2:])
    laid = laid_out(replace(source, pattern=Pattern(source.pattern.terms, sections)))
    (folder / "t.pdf").write_bytes(laid.pdf())
    pages = run("pdftotext", "-raw", folder / "t.pdf", "-").split("\f")[:-1]
    return [re.sub(r"\s+", " ", page) for page in pages]


@pytest.mark.parametrize("edition", ["full", "plain"])
def test_a_long_table_breaks_between_rows_and_repeats_its_head(demo, qapp, tmp_path, edition):
    pages = with_table(demo, tmp_path, LONG, edition=edition)
    told = " ".join(pages)
    at = 0
    for row in LONG.rows:
        at = told.index(" ".join(row), at)
    holding = [page for page in pages if "work number" in page]
    assert len(holding) > 1 or edition == "plain"
    assert all("Row What to do Stitches" in page for page in holding)
    assert told.count("Row What to do Stitches") == told.count(LONG.caption) > 1


@pytest.mark.parametrize(("edition", "table"), [("large", LONG), ("full", TOO_WIDE)])
def test_a_table_too_wide_for_columns_is_told_line_by_line(demo, qapp, tmp_path, edition, table):
    told = " ".join(with_table(demo, tmp_path, table, edition=edition))
    row = table.rows[0]
    pairs = [f"{name}: {cell}" for name, cell in zip(table.head[1:], row[1:], strict=True)]
    assert " ".join([row[0], *pairs]) in told


def test_text_reads_on_white():
    # WCAG 2.2, 1.4.3: 4.5 to 1; 1.4.11: 3 to 1 for drawn lines that carry meaning.
    for edition in EDITIONS:
        manner = MANNERS[edition]
        assert min(contrast(c, "#ffffff") for c in (manner.ink, manner.quiet, manner.accent)) >= 4.5
    from app.booklet.schematic import _FINE, _INK

    assert min(contrast(colour, "#ffffff") for colour in (_FINE, _INK)) >= 3


# flowing


def paragraphs(counts, **more):
    """Return pieces of so many lines of 100 units."""
    found = []
    for lines in counts:
        text = "\n".join(["x"] * lines)
        set_text = SetText([Run(text)], 1e6, family="Cabin", points=10, leading=1, colour="#000000")
        assert set_text.n_lines == lines
        found.append(TextPiece(text=set_text, **more))
    return found


def columns(height, first=None):
    page = 0
    while True:
        yield Column(page, 0.0, 0.0, first if page == 0 and first else height, height)
        page += 1


def lines_of(placed):
    return round(placed.piece.height / 100)


def test_two_lines_at_least_stand_on_either_side_of_a_cut(qapp):
    pages = flowed(paragraphs([9, 5]), columns(1000))
    assert [[lines_of(p) for p in page.placed] for page in pages.values()] == [[9], [5]]
    pages = flowed(paragraphs([7, 5]), columns(1000))
    assert [[lines_of(p) for p in page.placed] for page in pages.values()] == [[7, 3], [2]]
    pages = flowed(paragraphs([6, 5]), columns(1000))
    assert [[lines_of(p) for p in page.placed] for page in pages.values()] == [[6, 3], [2]]


def test_a_heading_goes_with_what_follows(qapp):
    heading, text = paragraphs([1], keep=True, whole=True), paragraphs([6])
    pages = flowed([*paragraphs([8]), Start("a"), *heading, *text], columns(1000))
    assert [len(page.placed) for page in pages.values()] == [1, 2]
    assert pages[1].starts == ["a"]


def test_a_heading_leaves_a_column_too_short_for_what_follows(qapp):
    heading, text = paragraphs([1], keep=True, whole=True), paragraphs([6], whole=True)
    pages = flowed([*heading, *text], columns(1000, first=250))
    assert list(pages) == [1]
    assert len(pages[1].placed) == 2


def test_what_no_page_can_hold_whole_is_cut_and_nothing_is_lost(qapp):
    pages = flowed(paragraphs([35], whole=True), columns(1000))
    assert sum(lines_of(p) for page in pages.values() for p in page.placed) == 35
    assert len(pages) == 4


def test_text_beyond_the_basic_plane_keeps_its_weights(qapp):
    runs = [Run("\U0001f9f6: ", bold=True), Run("yarn")]
    (bold,) = bold_ranges(runs, "Cabin", 10)
    assert (bold.start, bold.length) == (0, 4)  # two halves, a colon, a space


# files


def test_file_names_say_edition_hand_terms_and_size(demo):
    name = booklet_ending
    assert name(Options(), demo.design) == "-booklet.pdf"
    assert name(Options(edition="html", hand="left"), demo.design) == "-booklet-left-handed.html"
    assert name(Options(edition="large", terms="US"), demo.design) == "-booklet-large-us.pdf"
    assert name(Options(edition="plain", rows=40), demo.design) == "-booklet-plain-11x40.pdf"
    assert name(Options(hand="right", terms="UK"), demo.design) == "-booklet.pdf"


def test_another_size_is_worked_out_anew(demo, qapp, tmp_path):
    pdf = Pdf(demo, tmp_path, repeats=8, rows=40, edition="plain")
    headings_stand_over_their_text(pdf)
    told = " ".join(pdf.pages)
    assert "ch 111" in told  # 12 x 9 + 3
    assert "until 40 rows are worked" in told
    assert demo.design.size.rows == 96


def test_exports_write_the_booklets_that_are_asked_for(demo, qapp, tmp_path):
    choices = Choices(terms="US", booklet=Options(page="letter", hand="left"))
    names = ["booklet-html", "booklet-plain-pdf"]
    paths = write_exports(demo, tmp_path, "throw", only=names, choices=choices)
    assert [path.name for path in paths] == [
        "throw-booklet-plain-us-left-handed.pdf",
        "throw-booklet-us-left-handed.html",
    ]
    assert "612 x 792" in run("pdfinfo", paths[0])
    assert "Written in US terms" in paths[1].read_text()


def test_pages_can_be_painted_in_another_thread_than_they_were_laid_out_in(demo, qapp):
    laid, painted = [], []

    def in_a_thread(do):
        thread = threading.Thread(target=do)
        thread.start()
        thread.join()

    in_a_thread(lambda: laid.append(laid_out(booklet_source(demo, Options()))))
    in_a_thread(lambda: painted.append(laid[0].image(2, 300)))
    in_a_thread(lambda: painted.append(laid[0].pdf()))
    assert painted[0] == laid[0].image(2, 300)
    assert painted[1].startswith(b"%PDF")


@pytest.mark.parametrize(("repeats", "rows"), [(1, 1), (1, 300), (40, 2)])
@pytest.mark.parametrize("edition", EDITIONS)
def test_ribbons_and_strips_stay_on_their_pages(demo, qapp, repeats, rows, edition):
    design = set_size(demo.design, repeats=repeats, rows=rows)
    options = Options(edition=edition)
    laid = laid_out(booklet_source(Pipeline().results(design), options, settled=False))
    paper = laid.paper
    for page in some(laid.pages):
        for item in page.placed:
            assert item.y + item.piece.height <= paper.height - paper.margin + 1
            assert item.y >= paper.margin


def test_making_stops_when_it_is_told_to(demo, qapp):
    with pytest.raises(Stopped):
        laid_out(booklet_source(demo, Options()), should_stop=lambda: True)


def test_the_cover_has_the_blankets_proportion(files, tmp_path):
    pdf = files["full", "a4"]
    listed = run("pdfimages", "-list", pdf.path).splitlines()[2].split()
    wide, high, ppi_x, ppi_y = (int(listed[n]) for n in (3, 4, 12, 13))
    size = pdf.laid.source.results.size
    tall = high / ppi_y / (wide / ppi_x)
    assert tall == pytest.approx(size.length_mm / size.width_mm, rel=0.02)  # waves stand out
    assert wide / ppi_x * 25.4 * MM < pdf.laid.paper.room
