"""Pages joined from pieces and marks added: small files made by hand, as Qt lays them out."""

import re

import pytest

from core.booklet.pdf_file import PdfFile
from core.booklet.pdf_marks import with_bookmarks
from core.booklet.pdf_pieces import with_pieces_joined


def a_file(pages=3):
    """Return a file with pages that each draw one line, the second with a font of its own."""
    objects = {1: b"<< /Title () >>", 2: b"<<\n/Type /Catalog\n/Pages 3 0 R\n>>"}
    kids = [4 + 3 * n for n in range(pages)]
    listed = b"\n".join(b"%d 0 R" % kid for kid in kids)
    objects[3] = b"<<\n/Type /Pages\n/Kids \n[\n%s\n]\n/Count %d\n>>" % (listed, pages)
    for n, kid in enumerate(kids):
        head = b"<<\n/Type /Page\n/Parent 3 0 R\n/Contents %d 0 R\n/Resources %d 0 R\n>>"
        objects[kid] = head % (kid + 1, kid + 2)
        text = b"q %d 0 m 9 9 l S Q" % n
        objects[kid + 1] = b"<< /Length %d >>\nstream\n%s\nendstream" % (len(text), text)
        font = b"/F%d 1 0 R\n" % n if n == 1 else b""
        kinds = (b"ColorSpace", b"ExtGState", b"Pattern", b"Font", b"XObject")
        inside = (b"/%s <<\n%s>>" % (kind, font if kind == b"Font" else b"") for kind in kinds)
        objects[kid + 2] = b"<<\n%s\n>>" % b"\n".join(inside)
    data, table = b"%PDF-1.4\n", b""
    for number in sorted(objects):
        table += b"%010d 00000 n \n" % len(data)
        data += b"%d 0 obj\n%s\nendobj\n" % (number, objects[number])
    size = len(objects) + 1
    end = b"xref\n0 %d\n0000000000 65535 f \n%strailer\n<< /Size %d /Root 2 0 R /Info 1 0 R >>\n"
    return data + end % (size, table, size) + b"startxref\n%d\n%%%%EOF\n" % len(data)


def test_pieces_become_pages_with_all_that_they_use():
    file = PdfFile(with_pieces_joined(a_file(), [2, 1]))
    assert file.pages == [4, 10]
    page = file.dictionary(4)
    shown = [int(n) for n in re.findall(rb"(\d+) 0 R", page[page.index(b"/Contents") :])][:5]
    assert shown[1::2] == [5, 8]  # both texts, each between a q and a Q of its own
    assert b"/F1 1 0 R" in file.dictionary(6)  # the second piece's font
    assert b"/Count 2" in file.dictionary(3)


def test_marks_can_be_added_to_joined_pages():
    joined = with_pieces_joined(a_file(), [1, 2])
    marked = with_bookmarks(joined, [("Rows", 1)], language="de")
    file = PdfFile(marked)
    assert b"/Lang (de)" in file.dictionary(file.root)
    assert file.pages == [4, 7]
    assert marked.startswith(joined)


@pytest.mark.parametrize("pieces", [[], [1], [2, 2], [3, 0]])
def test_pieces_that_do_not_come_out_are_refused(pieces):
    with pytest.raises(ValueError, match="don't come out"):
        with_pieces_joined(a_file(), pieces)


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: b"",
        lambda data: data[:-40],
        lambda data: data.replace(b"startxref\n", b"startxref\n9"),
        lambda data: data.replace(b"/Root 2", b"/Root 99"),
        lambda data: data.replace(b"/Kids", b"/Kinds"),
        lambda data: data.replace(b"2 0 obj", b"7 0 obj"),
    ],
)
def test_a_file_of_another_make_is_refused(damage):
    with pytest.raises(ValueError, match="isn't made as expected"):
        with_bookmarks(damage(a_file()), (), language="en")


def test_a_bookmark_for_a_page_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="isn't there"):
        with_bookmarks(a_file(), [("Rows", 3)], language="en")


def test_a_cross_reference_that_leads_in_circles_ends():
    data = a_file()
    start = int(re.search(rb"startxref\n(\d+)", data)[1])
    looped = data.replace(b"/Info 1 0 R >>", b"/Info 1 0 R /Prev %d >>" % start)
    assert PdfFile(looped).root == 2
