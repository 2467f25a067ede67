"""The whole list, and what of it keeps a pattern a draft."""

from collections.abc import Callable
from weakref import WeakKeyDictionary

from core.checks.findings import Finding, by_level
from core.checks.own_words import check_own_words
from core.design.document import Design
from core.editions import OWN, Edition, facts_of, in_size, sizes_in_order
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.pipeline import Results
from core.records import replace
from core.techedit.counts import check_closing, check_counts, check_sizes
from core.techedit.draft import Draft, published
from core.techedit.paper import check_paper
from core.techedit.parts import check_parts
from core.techedit.repeats import check_repeats
from core.techedit.shorts import check_shorts
from core.techedit.systems import check_systems
from core.words.pattern import Pattern
from core.words.vocabulary import vocabulary


def tech_edit(
    results: Results,
    pattern: Pattern | None = None,
    edition: Edition = OWN,
    *,
    should_stop: ShouldStop = never,
) -> tuple[Finding, ...]:
    """Return everything that a tech editor would mark, errors first.

    Args:
        results: The design's results.
        pattern: Its pattern as published; written here if None.
        edition: How that is written.
        should_stop: Asked between the parts of the work.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    if isinstance(edition.size, int) and edition.size < len(results.design.sizes):
        results = in_size(results, results.design.sizes[edition.size])
        edition = replace(edition, size="own")
    if pattern is None:
        pattern = published(results, edition, should_stop=should_stop)
    draft = Draft(results, pattern, edition)
    found = [*results.findings]
    parts: tuple[Callable[[], list[Finding]], ...] = (
        lambda: check_own_words(results.design, results.rows),
        lambda: check_counts(draft),
        lambda: check_sizes(draft, should_stop=should_stop),
        lambda: check_closing(draft),
        lambda: check_shorts(draft),
        lambda: check_repeats(draft),
        lambda: check_systems(draft),
        lambda: check_parts(draft, facts_of(results)),
        lambda: check_paper(draft),
    )
    for part in parts:
        if should_stop():
            raise Stopped
        found += part()
    return by_level(found)


_LISTS: "WeakKeyDictionary[Results, dict[Edition, tuple[Finding, ...]]]" = WeakKeyDictionary()


def whole_list(
    results: Results, edition: Edition = OWN, *, should_stop: ShouldStop = never
) -> tuple[Finding, ...]:
    """Return the tech edit of a pattern as it is published; kept for as long as the results are.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    edition, kept = _plainest(edition, results.design), _LISTS.setdefault(results, {})
    if edition not in kept:
        kept[edition] = tech_edit(results, edition=edition, should_stop=should_stop)
    return kept[edition]


def _plainest(edition: Edition, design: Design) -> Edition:
    """Return the same edition with nothing said that is so anyhow."""
    if edition.terms == design.terms:
        edition = replace(edition, terms=None)
    is_one = len(sizes_in_order(design)) < 2 if edition.size == "all" else False
    return replace(edition, size="own") if is_one else edition


def open_errors(results: Results, edition: Edition = OWN) -> tuple[Finding, ...]:
    """Return the errors of a pattern; while there are any, it is a draft.

    Those of the design's own edition are errors of every other too, which may have more.
    """
    found = [*whole_list(results), *whole_list(results, edition)]
    return tuple(dict.fromkeys(finding for finding in found if finding.level == "error"))


def stamp_for(results: Results, edition: Edition = OWN) -> str:
    """Return the word that marks a draft, in the edition's language; empty without open errors."""
    is_draft = bool(open_errors(results, edition))
    return vocabulary("US", edition.language).say("draft") if is_draft else ""


def draft_line(results: Results, edition: Edition = OWN) -> str:
    """Return the line that heads a draft's words; empty without open errors."""
    n = len(open_errors(results, edition))
    return vocabulary("US", edition.language).say("draft because", n=n) if n else ""


def stamped(results: Results, edition: Edition = OWN) -> str:
    """Return the sentences that say why exports are stamped; empty if they aren't.

    An error that only this edition has is told: the list of the open design lacks it.
    """
    errors, own = open_errors(results, edition), open_errors(results)
    if not errors:
        return ""
    n, word = len(errors), stamp_for(results, edition)
    more = f" Only in this edition: {errors[len(own)].text}" if len(errors) > len(own) else ""
    return f"{n} {'error' if n == 1 else 'errors'} open: stamped {word}.{more}"
