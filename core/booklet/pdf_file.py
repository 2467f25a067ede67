"""A finished PDF file that Qt wrote: its objects found, and an update appended.

What Qt leaves out is added as an incremental update (ISO 32000-1, 7.5.6): new objects, a
cross-reference of just those, and a trailer that points back. Objects are found through the
cross-reference, so a large file isn't searched from end to end.
"""

import re
from collections.abc import Mapping

_FOREIGN = "the PDF file isn't made as expected"


class PdfFile:
    """A file with cross-reference tables, and its last trailer.

    Attributes:
        data: The whole file.
        size: One more than the highest object number.
        root: Number of the catalog.
    """

    def __init__(self, data: bytes) -> None:
        """Read the cross-reference.

        Raises:
            ValueError: The file isn't made as expected.
        """
        self.data = data
        self._start = self._number(rb"startxref\s+(\d+)", data[data.rfind(b"startxref") :])
        self._offsets: dict[int, int] = {}
        trailer, at = b"", self._start
        while True:
            found = self._read_table(at)
            trailer = trailer or found
            before = re.search(rb"/Prev (\d+)", found)
            if before is None or int(before[1]) >= at:  # an update points back, never on
                break
            at = int(before[1])
        self.size = self._number(rb"/Size (\d+)", trailer)
        self.root = self._number(rb"/Root (\d+) 0 R", trailer)
        self._info = self._number(rb"/Info (\d+) 0 R", trailer)
        name = re.search(rb"/ID\s*\[.*?\]", trailer, re.DOTALL)
        self._id = name[0] if name else b""

    def _read_table(self, at: int) -> bytes:
        """Add a table's objects that aren't known yet; return its trailer."""
        end = self.data.find(b"trailer", at)
        if not self.data.startswith(b"xref", at) or end < 0:
            raise ValueError(_FOREIGN)
        number = 0
        for line in self.data[at:end].splitlines()[1:]:
            match line.split():
                case [offset, _, b"n"]:
                    self._offsets.setdefault(number, int(offset))
                    number += 1
                case [_, _, b"f"]:
                    number += 1
                case [first, _]:
                    number = int(first)
        return self.data[end : self.data.find(b"startxref", end)]

    def _number(self, pattern: bytes, data: bytes) -> int:
        return int(found(pattern, data))

    def dictionary(self, number: int) -> bytes:
        """Return what stands in an object between << and >>.

        Raises:
            ValueError: There is no such object, or it is no dictionary.
        """
        at = self._offsets.get(number, -1)
        end = self.data.find(b"endobj", at)
        text = self.data[at:end].strip() if 0 <= at < end else b""
        opened, head = text.find(b"<<"), b"%d 0 obj" % number
        if opened < 0 or text[:opened].strip() != head or not text.endswith(b">>"):
            raise ValueError(_FOREIGN)
        return text[opened + 2 : -2]

    @property
    def pages(self) -> list[int]:
        """Numbers of the pages' objects, in order."""
        kids = found(rb"/Kids\s*\[(.*?)\]", self.dictionary(self.tree))
        return [int(number) for number in re.findall(rb"(\d+) 0 R", kids)]

    @property
    def tree(self) -> int:
        """Number of the object that lists the pages."""
        return self._number(rb"/Pages (\d+) 0 R", self.dictionary(self.root))

    def updated(self, objects: Mapping[int, bytes]) -> bytes:
        """Return the file with these objects added, or in the place of those it has."""
        at, body, table = len(self.data), b"", b"xref\n"
        for number in sorted(objects):
            table += b"%d 1\n%010d 00000 n \n" % (number, at + len(body))
            body += b"%d 0 obj\n%s\nendobj\n" % (number, objects[number])
        trailer = b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R /Prev %d %s >>\n" % (
            max(self.size, *(number + 1 for number in objects)),
            self.root,
            self._info,
            self._start,
            self._id,
        )
        return b"".join(
            (self.data, body, table, trailer, b"startxref\n%d\n%%%%EOF\n" % (at + len(body)))
        )


def found(pattern: bytes, data: bytes) -> bytes:
    """Return the first group of a pattern.

    Raises:
        ValueError: It isn't there.
    """
    match = re.search(pattern, data, re.DOTALL)
    if match is None:
        raise ValueError(_FOREIGN)
    group: bytes = match[1]
    return group
