"""Bookmarks, language and a title for the window of a reader, added to a finished PDF file.

Qt writes none of them. Nor does it tag text, and nothing here pretends that it did: there is no
MarkInfo, so readers know that they have to guess the order.
"""

from collections.abc import Sequence

from core.booklet.pdf_file import PdfFile


def with_bookmarks(pdf: bytes, marks: Sequence[tuple[str, int]], *, language: str) -> bytes:
    """Return the file with its language and a bookmark for every mark.

    Args:
        pdf: A file with cross-reference tables, as Qt writes it.
        marks: Titles in order, each with its page, from 0.
        language: The text's language as a tag.

    Raises:
        ValueError: The file isn't made as expected.
    """
    file = PdfFile(pdf)
    pages, size = file.pages, file.size
    if not all(0 <= page < len(pages) for _, page in marks):
        raise ValueError("a bookmark is for a page that isn't there")
    objects: dict[int, bytes] = {}
    extra = b"/Lang (%s)\n/ViewerPreferences << /DisplayDocTitle true >>\n" % language.encode()
    if marks:
        extra += b"/Outlines %d 0 R\n/PageMode /UseOutlines\n" % size
        last = size + len(marks)
        objects[size] = b"<< /Type /Outlines /First %d 0 R /Last %d 0 R /Count %d >>" % (
            size + 1,
            last,
            len(marks),
        )
        for number, (title, page) in enumerate(marks, size + 1):
            links = b"/Prev %d 0 R " % (number - 1) if number > size + 1 else b""
            links += b"/Next %d 0 R " % (number + 1) if number < last else b""
            name = b"FEFF" + title.encode("utf-16-be").hex().upper().encode()
            objects[number] = b"<< /Title <%s> /Parent %d 0 R %s/Dest [%d 0 R /Fit] >>" % (
                name,
                size,
                links,
                pages[page],
            )
    objects[file.root] = b"<<%s%s>>" % (file.dictionary(file.root), extra)
    return file.updated(objects)
