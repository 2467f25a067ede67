"""A booklet as one HTML file for screen readers and browsers.

Headings, lists, tables with captions and scopes, described pictures (WCAG 2.2: 1.1.1, 1.3.1,
2.4.6, 3.1.1); no script, nothing from elsewhere; everything that was typed is escaped. The
program's words are spelled out; in the designer's own wording abbreviations carry their meaning,
and another language is marked (3.1.2).
"""

import base64
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from typing import Final

from core.booklet.nodes import (
    KNOWN,
    Booklet,
    Colour,
    Colours,
    Facts,
    Node,
    Part,
    Picture,
    PictureName,
    Points,
    Ticks,
)
from core.words.pattern import Paragraph, Table

_JPEG: Final = b"\xff\xd8"
_OWN: Final = "en"  # what designers' own rows are read as
INK: Final = "#22201d"
PAPER: Final = "#fbf8f2"
ACCENT: Final = "#1d5c66"
QUIET: Final = "#5b544b"

_STYLE: Final = f"""
html {{ background: {PAPER}; color: {INK}; font: 112.5%/1.6 Cabin, sans-serif; }}
body {{ max-width: 44rem; margin: 0 auto; padding: 1.5rem; }}
h1 {{ font-size: 2.2rem; line-height: 1.15; margin: 1rem 0 .25rem; }}
h2 {{ color: {ACCENT}; font-size: 1.4rem; line-height: 1.25; margin: 2.5rem 0 .75rem;
  border-top: 1px solid #d8cfbf; padding-top: .75rem; }}
a {{ color: {ACCENT}; }}
dt {{ font-weight: bold; margin-top: .6rem; }}
dd {{ margin: 0 0 .2rem 1.5rem; }}
li {{ margin: .3rem 0; }}
table {{ border-collapse: collapse; margin: 1rem 0; }}
caption {{ text-align: left; font-weight: bold; padding-bottom: .4rem; }}
th, td {{ text-align: left; padding: .35rem .9rem .35rem 0; vertical-align: top;
  border-bottom: 1px solid #d8cfbf; }}
figure {{ margin: 1.5rem 0; }}
figcaption, .quiet {{ color: {QUIET}; }}
img {{ max-width: 100%; height: auto; }}
.draft {{ border: 3px solid {INK}; padding: .5rem 1rem; }}
.swatch {{ display: inline-block; width: 1.1em; height: 1.1em; border: 1px solid {INK};
  vertical-align: -.15em; }}
abbr {{ text-decoration: none; }}
input {{ width: 1.2em; height: 1.2em; }}
@media print {{ html {{ background: #fff; }} .contents {{ display: none; }} }}
""".strip()


def booklet_html(booklet: Booklet, pictures: Mapping[PictureName, bytes]) -> str:
    """Return the whole file.

    Args:
        booklet: What it says.
        pictures: PNG or JPEG files by name; a picture that is missing is told in words alone.
    """
    return "\n".join(_Writer(booklet, pictures).lines()) + "\n"


class _Writer:
    """Writes one booklet."""

    def __init__(self, booklet: Booklet, pictures: Mapping[PictureName, bytes]) -> None:
        self._booklet = booklet
        self._pictures = pictures
        self._words = booklet.words
        self._meanings = booklet.own_meanings
        shorts = sorted(self._meanings, key=lambda short: (-len(short), short))
        words = "|".join(map(re.escape, shorts))
        self._short = re.compile(rf"(?<!\w)(?:{words})(?!\w)") if shorts else None

    def lines(self) -> Iterator[str]:
        """Yield the file's lines."""
        booklet = self._booklet
        yield "<!DOCTYPE html>"
        yield f'<html lang="{escape(booklet.language)}">'
        yield '<head>\n<meta charset="utf-8"/>'
        yield '<meta name="viewport" content="width=device-width, initial-scale=1"/>'
        yield f"<title>{escape(booklet.title)}</title>"
        if booklet.designer:
            yield f'<meta name="author" content="{escape(booklet.designer)}"/>'
        yield f"<style>\n{_STYLE}\n</style>\n</head>\n<body>"
        yield from self._header()
        yield from self._contents()
        yield "<main>"
        for part in booklet.parts:
            yield from self._part(part)
        yield "</main>"
        foot = "\n".join(f"<p>{escape(line)}</p>" for line in booklet.foot)
        yield f"<footer>\n{foot}\n</footer>"
        yield "</body>\n</html>"

    def _header(self) -> Iterator[str]:
        booklet = self._booklet
        yield "<header>"
        yield from self._draft()
        yield f"<h1>{escape(booklet.title)}</h1>"
        if booklet.designer:
            by = self._words.say("designer", designer=booklet.designer)
            yield f"<p>{escape(by)}</p>"
        for line in booklet.lines:
            yield f"<p>{escape(line)}.</p>"
        yield f"<p>{escape(booklet.access)}</p>"
        yield from self._facts(booklet.facts)
        yield from self._picture(booklet.cover)
        yield "</header>"

    def _draft(self) -> Iterator[str]:
        if self._booklet.draft:
            yield '<div class="draft" role="note">'
            draft, told = self._words.say("draft"), self._words.say("draft told")
            yield f"<p><strong>{escape(draft)}</strong>: {escape(told)}</p>"
            yield from _list(map(escape, self._booklet.draft))
            yield "</div>"

    def _contents(self) -> Iterator[str]:
        heading = escape(self._words.say("heading contents"))
        yield f'<nav class="contents" aria-label="{heading}">\n<h2>{heading}</h2>'
        yield from _list(
            f'<a href="#{_id(part)}">{escape(part.heading or part.name)}</a>'
            for part in self._booklet.parts
        )
        yield "</nav>"

    def _part(self, part: Part) -> Iterator[str]:
        yield f'<section aria-labelledby="{_id(part)}">'
        yield f'<h2 id="{_id(part)}">{escape(part.heading or part.name)}</h2>'
        if self._booklet.draft:
            yield f'<p class="quiet">{escape(self._words.say("draft"))}</p>'
        texts: list[Paragraph] = []
        for node in part.nodes:
            if isinstance(node, Paragraph) and (
                not texts or bool(texts[-1].label) == bool(node.label)
            ):
                texts.append(node)
                continue
            yield from self._paragraphs(texts)
            texts = [node] if isinstance(node, Paragraph) else []
            if not texts:
                yield from self._node(node, part)
        yield from self._paragraphs(texts)
        yield "</section>"

    def _paragraphs(self, texts: Sequence[Paragraph]) -> Iterator[str]:
        """Yield paragraphs as a list of terms where they have labels."""
        if texts and texts[0].label:
            yield "<dl>"
            for text in texts:
                yield f"<dt>{escape(text.label)}</dt>"
                yield f"<dd{self._tongue(text)}>{self._text(text)}</dd>"
            yield "</dl>"
        else:
            yield from (f"<p{self._tongue(text)}>{self._text(text)}</p>" for text in texts)

    def _tongue(self, text: Paragraph) -> str:
        """Return the mark of the designer's own wording, which is English."""
        return f' lang="{_OWN}"' if text.own and self._booklet.language != _OWN else ""

    def _node(self, node: Node, part: Part) -> Iterator[str]:
        if type(node) not in KNOWN:  # a block of the words' that is new: its plain text
            yield from (f"<p>{escape(line)}</p>" for line in _plain_lines(node))
        match node:
            case Table():
                yield from self._table(node, node.caption or part.heading or part.name)
            case Picture():
                yield from self._picture(node)
            case Ticks():
                yield from self._ticks(node)
            case Colours():
                yield from self._colours(node)
            case Points():
                yield from _list(map(escape, node.points))
            case Facts():
                yield from self._facts(node)

    def _text(self, paragraph: Paragraph) -> str:
        """Return text escaped, abbreviations in own wording marked with what they mean."""
        text = paragraph.text
        if self._short is None or not paragraph.own:
            return escape(text)
        found, at = [], 0
        for match in self._short.finditer(text):
            meaning = self._meanings[match.group()]
            found.append(escape(text[at : match.start()]))
            found.append(f'<abbr title="{escape(meaning)}">{escape(match.group())}</abbr>')
            at = match.end()
        return "".join([*found, escape(text[at:])])

    def _table(self, table: Table, caption: str) -> Iterator[str]:
        yield f"<table>\n<caption>{escape(caption)}</caption>"
        heads = "".join(f'<th scope="col">{escape(name)}</th>' for name in table.head)
        yield f"<thead><tr>{heads}</tr></thead>\n<tbody>"
        for row in table.rows:
            first, *rest = map(escape, row)
            cells = "".join(f"<td>{cell}</td>" for cell in rest)
            yield f'<tr><th scope="row">{first}</th>{cells}</tr>'
        yield "</tbody>\n</table>"

    def _picture(self, picture: Picture) -> Iterator[str]:
        name = picture.name
        yield "<figure>"
        if name in self._pictures:
            data = base64.b64encode(self._pictures[name]).decode()
            kind = "jpeg" if self._pictures[name].startswith(_JPEG) else "png"
            source = f"data:image/{kind};base64,{data}"
            described = f' aria-describedby="{name}-told"' if picture.description else ""
            yield f'<img alt="{escape(picture.alt)}"{described} src="{source}"/>'
        yield f"<figcaption>{escape(picture.caption)}</figcaption>"
        yield "</figure>"
        if picture.description:
            summary = escape(self._words.say("picture told"))
            yield f'<details open="open"><summary>{summary}</summary>'
            yield f'<div id="{name}-told">'
            yield from (f"<p>{escape(line)}</p>" for line in picture.description)
            yield "</div>\n</details>"

    def _ticks(self, ticks: Ticks) -> Iterator[str]:
        yield f"<table>\n<caption>{escape(ticks.caption)}</caption>"
        keys = ("done", "stripe", "colour", "rows", "numbers", "in all")
        cells = self._heads(f"column {key}" for key in keys)
        yield f"<thead><tr>{cells}</tr></thead>\n<tbody>"
        colours = {yarn.yarn: yarn.colour for yarn in _colours(self._booklet)}
        for stripe in ticks.stripes:
            swatch = _swatch(colours.get(stripe.yarn))
            done = escape(self._words.say("tick done", n=stripe.number))
            name = self._words.say("lettered name", letter=stripe.letter, name=stripe.name)
            yield (
                f'<tr><td><input type="checkbox" aria-label="{done}"/></td>'
                f'<th scope="row">{stripe.number}</th>'
                f"<td>{swatch}{escape(name)}</td>"
                f"<td>{stripe.rows}</td>"
                f"<td>{escape(stripe.span(self._words))}</td><td>{stripe.last}</td></tr>"
            )
        yield "</tbody>\n</table>"

    def _colours(self, colours: Colours) -> Iterator[str]:
        yield f"<table>\n<caption>{escape(colours.caption)}</caption>"
        keys = ("letter", "yarn and name", "looks")
        cells = self._heads(f"column {key}" for key in keys)
        yield f"<thead><tr>{cells}</tr></thead>\n<tbody>"
        for yarn in colours.yarns:
            yield (
                f'<tr><th scope="row">{_swatch(yarn.colour)}{yarn.letter}</th>'
                f"<td>{escape(yarn.name)}</td><td>{escape(yarn.words)}</td></tr>"
            )
        yield "</tbody>\n</table>"

    def _heads(self, keys: Iterable[str]) -> str:
        return "".join(f'<th scope="col">{escape(self._words.say(key))}</th>' for key in keys)

    def _facts(self, facts: Facts) -> Iterator[str]:
        yield "<dl>"
        for name, text in facts.facts:
            yield f"<dt>{escape(name)}</dt>\n<dd>{escape(text)}</dd>"
        yield "</dl>"


def _colours(booklet: Booklet) -> Iterator[Colour]:
    for part in booklet.parts:
        for node in part.nodes:
            if isinstance(node, Colours):
                yield from node.yarns


def _plain_lines(node: object) -> list[str]:
    return str(getattr(node, "plain", "")).splitlines()


def _swatch(colour: str | None) -> str:
    if colour is None:
        return ""
    return f'<span class="swatch" style="background:{escape(colour)}"></span> '


def _list(items: Iterable[str]) -> Iterator[str]:
    yield "<ul>"
    yield from (f"<li>{item}</li>" for item in items)
    yield "</ul>"


def _id(part: Part) -> str:
    return "part-" + re.sub(r"[^a-z0-9]+", "-", part.name.lower()).strip("-")
