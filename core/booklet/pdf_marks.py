"""Bookmarks, language and a title for the window of a reader, added to a finished PDF file.

Qt writes none of them. They are appended as an incremental update (ISO 32000-1, 7.5.6): new
objects, a new catalog, a cross-reference of just those, and a trailer that points back.
"""

import re
from collections.abc import Sequence


def with_bookmarks(pdf: bytes, marks: Sequence[tuple[str, int]], *, language: str) -> bytes:
    """Return the file with a bookmark for every mark.

    Args:
        pdf: A file with one cross-reference table, as Qt writes it.
        marks: Titles in order, each with its page, from 0.
        language: The text's language as a tag.

    Raises:
        ValueError: The file isn't made as expected.
    """
    size = int(_found(rb"/Size (\d+)", pdf))
    root = int(_found(rb"/Root (\d+) 0 R", pdf))
    info = int(_found(rb"/Info (\d+) 0 R", pdf))
    start = int(_found(rb"startxref\s+(\d+)", pdf))
    catalog = _found(rb"\n%d 0 obj\s*<<(.*?)>>\s*endobj" % root, pdf)
    tree = int(_found(rb"/Pages (\d+) 0 R", catalog))
    kids = _found(rb"\n%d 0 obj\s*<<.*?/Kids\s*\[(.*?)\]" % tree, pdf)
    pages = [int(number) for number in re.findall(rb"(\d+) 0 R", kids)]
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
    objects[root] = b"<<%s%s>>" % (catalog, extra)
    return pdf + _update(objects, len(pdf), root=root, info=info, before=start, size=size)


def _update(
    objects: dict[int, bytes], at: int, *, root: int, info: int, before: int, size: int
) -> bytes:
    """Return the appended part: objects, their cross-reference, the trailer."""
    body, table = b"", b"xref\n"
    for number in sorted(objects):
        table += b"%d 1\n%010d 00000 n \n" % (number, at + len(body))
        body += b"%d 0 obj\n%s\nendobj\n" % (number, objects[number])
    trailer = b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R /Prev %d >>\n" % (
        max(size, *(number + 1 for number in objects)),
        root,
        info,
        before,
    )
    return body + table + trailer + b"startxref\n%d\n%%%%EOF\n" % (at + len(body))


def _found(pattern: bytes, data: bytes) -> bytes:
    """Return the last match's group."""
    matches = re.findall(pattern, data, re.DOTALL)
    if not matches:
        raise ValueError("the PDF file isn't made as expected")
    last: bytes = matches[-1]
    return last
