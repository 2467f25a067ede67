"""Which signs a design's texts may hold, and text from elsewhere brought down to them.

Left out are control characters (also those from U+0080 on, which terminals obey), lone surrogates
and U+FFFE/U+FFFF, which have no place in XML; signs that end a line where none is meant; and those
that turn the order of all that stands after them (CVE-2021-42574). Marks that only say which way
a word itself runs may stay.
"""

import re
from typing import Final

_NEVER: Final = (
    r"\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff"  # nowhere
)
PLAIN: Final = rf"\A[^\x00-\x1f{_NEVER}]*\Z"
"""A line of text."""
LINES: Final = rf"\A[^\x00-\x08\x0b-\x1f{_NEVER}]*\Z"
"""Text with line breaks and tabs."""

_NOT_PLAIN: Final = re.compile(rf"[\x00-\x1f{_NEVER}]")
_NOT_LINES: Final = re.compile(rf"[\x00-\x08\x0b-\x1f{_NEVER}]")
_BREAKS: Final = re.compile("\r\n?|[\x0b\x0c\x85\u2028\u2029]")


def plain_line(text: str) -> str:
    """Return a text as one line that a design may hold; what broke it becomes a space."""
    return _NOT_PLAIN.sub("", re.sub(r"[\n\t]", " ", _BREAKS.sub(" ", text)))


def plain_lines(text: str) -> str:
    """Return a text as lines that a design may hold."""
    return _NOT_LINES.sub("", _BREAKS.sub("\n", text))
