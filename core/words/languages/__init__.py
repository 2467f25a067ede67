"""The languages of the written pattern: one module each, a table of phrases and a few rules."""

from collections.abc import Mapping
from typing import Final

from core.words.languages.english import ENGLISH
from core.words.languages.german import GERMAN
from core.words.languages.wording import Language, StitchName, Wording

WORDINGS: Final[Mapping[Language, Wording]] = {"en": ENGLISH, "de": GERMAN}

__all__ = ["WORDINGS", "Language", "StitchName", "Wording"]
