"""The whole list, and what of it keeps a pattern a draft."""

from collections.abc import Callable
from dataclasses import replace
from weakref import WeakKeyDictionary

from core.checks.findings import Finding, by_level
from core.checks.own_words import check_own_words
from core.editions import OWN, Edition, facts_of, in_size
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.pipeline import Results
from core.techedit.counts import check_closing, check_counts, check_sizes
from core.techedit.draft import Draft, published
from core.techedit.paper import check_paper
from core.techedit.parts import check_parts
from core.techedit.repeats import check_repeats
from core.techedit.shorts import check_shorts
from core.techedit.systems import check_systems
from core.words.pattern import Pattern
from core.words.vocabulary import Language, vocabulary


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


_LISTS: "WeakKeyDictionary[Results, tuple[Finding, ...]]" = WeakKeyDictionary()


def whole_list(results: Results, *, should_stop: ShouldStop = never) -> tuple[Finding, ...]:
    """Return the tech edit of a design's own pattern; kept for as long as the results are.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    found = _LISTS.get(results)
    if found is None:
        found = _LISTS[results] = tech_edit(results, should_stop=should_stop)
    return found


def open_errors(results: Results) -> tuple[Finding, ...]:
    """Return the errors of a design's own pattern; while there are any, it is a draft."""
    return tuple(finding for finding in whole_list(results) if finding.level == "error")


def stamp_for(results: Results, language: Language = "en") -> str:
    """Return the word that marks a draft, in the words' language; empty without open errors."""
    return vocabulary("US", language).say("draft") if open_errors(results) else ""


def draft_line(results: Results, language: Language = "en") -> str:
    """Return the line that heads a draft's words; empty without open errors."""
    errors = open_errors(results)
    return vocabulary("US", language).say("draft because", n=len(errors)) if errors else ""


def stamped(results: Results, language: Language = "en") -> str:
    """Return the sentence that says why exports are stamped; empty if they aren't."""
    n, word = len(open_errors(results)), stamp_for(results, language)
    return f"{n} {'error' if n == 1 else 'errors'} open: stamped {word}." if n else ""
