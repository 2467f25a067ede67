"""Pages painted piece by piece, joined to whole pages in a finished PDF file.

Qt packs a page only when it is finished, in one step that nothing else can interrupt: seconds for
the chart of a whole blanket. So pieces are painted as pages of their own, and here a page is made
that shows its pieces one after another (ISO 32000-1, 7.7.3.3: Contents may be several streams).
"""

import re
from collections.abc import Iterable, Sequence

from core.booklet.pdf_file import PdfFile, found

_KINDS = (b"ColorSpace", b"ExtGState", b"Pattern", b"Font", b"XObject")


def with_pieces_joined(pdf: bytes, pieces: Sequence[int]) -> bytes:
    """Return the file with pages that are each made of so many of its pages, in order.

    Args:
        pdf: A file as Qt writes it: names of fonts and of states are the same on all pages.
        pieces: How many pieces each page has; all together as many as the file has pages.

    Raises:
        ValueError: The file isn't made as expected.
    """
    file = PdfFile(pdf)
    if sum(pieces) != len(file.pages) or not all(pieces):
        raise ValueError("the pieces of the pages don't come out")
    opens, between, closes = range(file.size, file.size + 3)
    objects = {opens: _stream(b"q"), between: _stream(b"Q\nq"), closes: _stream(b"Q")}
    waiting, kids = iter(file.pages), []
    for count in pieces:
        mine = [next(waiting) for _ in range(count)]
        kids.append(mine[0])
        texts = [file.dictionary(number) for number in mine]
        parts = [found(rb"/Contents (\d+ 0 R)", text) for text in texts]
        shown = b" %d 0 R " % between
        contents = b"[%d 0 R %s %d 0 R]" % (opens, shown.join(parts), closes)
        resources = int(found(rb"/Resources (\d+) 0 R", texts[0]))
        page = re.sub(rb"/Contents \d+ 0 R", b"/Contents " + contents, texts[0])
        objects[mine[0]] = b"<<%s>>" % page
        objects[resources] = _resources(
            file.dictionary(int(found(rb"/Resources (\d+) 0 R", text))) for text in texts
        )
    tree = file.dictionary(file.tree)
    tree = re.sub(rb"/Kids\s*\[.*?\]", b"/Kids [%s]" % _references(kids), tree, flags=re.DOTALL)
    tree = re.sub(rb"/Count \d+", b"/Count %d" % len(kids), tree)
    objects[file.tree] = b"<<%s>>" % tree
    return file.updated(objects)


def _stream(text: bytes) -> bytes:
    return b"<< /Length %d >>\nstream\n%s\nendstream" % (len(text), text)


def _references(numbers: Iterable[int]) -> bytes:
    return b" ".join(b"%d 0 R" % number for number in numbers)


def _resources(texts: Iterable[bytes]) -> bytes:
    """Return everything that some page uses, each name once."""
    every: dict[bytes, dict[bytes, bytes]] = {kind: {} for kind in _KINDS}
    for text in texts:
        for kind in _KINDS:
            inside = found(rb"/%s\s*<<(.*?)>>" % kind, text)
            every[kind] |= dict(re.findall(rb"/(\S+)\s+(\d+ 0 R|/\S+)", inside))
    kinds = (
        b"/%s <<\n%s>>" % (kind, b"".join(b"/%s %s\n" % pair for pair in names.items()))
        for kind, names in every.items()
    )
    return b"<<\n%s\n>>" % b"\n".join(kinds)
