"""A colour in words: "light greyish blue".

For lists and for people who hear the window rather than see it. The bounds are our own, on the
lightness, chroma and hue of OKLCh; `tests/core/test_palette.py` holds them against the colour
names of CSS. Yarns keep the names that people give them. Colours are named here in English, as
keys to the catalogue, and put into words in the language asked for.
"""

from functools import lru_cache
from typing import Final, NamedTuple

from core.craft.stitches import Terms
from core.palette.spaces import oklch_of
from core.words.vocabulary import Language, vocabulary

_NEUTRAL: Final = 0.012  # chroma below which no hue is named
_TINGED: Final = 0.03  # ... a grey with a tinge
_GREYISH: Final = 0.075
_VIVID: Final = 0.19
_HUES: Final = (  # the hue a band ends at, its noun, its tinge
    (12.0, "pink", "pinkish"),
    (40.0, "red", "reddish"),
    (75.0, "orange", "orange"),
    (96.0, "golden yellow", "yellowish"),
    (116.0, "yellow", "yellowish"),
    (133.0, "yellow green", "greenish"),
    (165.0, "green", "greenish"),
    (205.0, "turquoise", "greenish"),
    (275.0, "blue", "bluish"),
    (295.0, "violet", "violet"),
    (325.0, "purple", "purplish"),
    (348.0, "reddish purple", "purplish"),
    (360.0, "pink", "pinkish"),
)
_LIGHTNESS: Final = (
    (0.30, "very dark"),
    (0.45, "dark"),
    (0.74, ""),
    (0.88, "light"),
    (2.0, "very light"),
)


class _Looks(NamedTuple):
    """Keys of a colour's words: lightness, tone and hue; empty where nothing is said."""

    light: str
    tone: str
    hue: str


@lru_cache(maxsize=1024)
def colour_words(colour: str, terms: Terms = "UK", language: Language = "en") -> str:
    """Return what #rrggbb looks like, in plain words without a capital but a noun's own.

    Terms decide how they are spelled; the window itself is spelled as in the UK.
    """
    words, looks = vocabulary(terms, language), _looks(colour)
    if not looks.hue:
        return words.say(f"looks {looks.light}")
    said = words.say(
        "looks",
        light=words.say(f"light {looks.light}") if looks.light else "",
        tone=words.say(f"tone {looks.tone}") if looks.tone else "",
        hue=words.say(f"hue {looks.hue}"),
    )
    return " ".join(said.split())


def _looks(colour: str) -> _Looks:
    lightness, chroma, hue = oklch_of(colour)
    if lightness < 0.16:
        return _Looks("black", "", "")
    if lightness > 0.975 and chroma < 0.02:
        return _Looks("white", "", "")
    light = next(word for end, word in _LIGHTNESS if lightness < end)
    noun, tinge = next((noun, tinge) for end, noun, tinge in _HUES if hue <= end)
    if chroma < _NEUTRAL:
        return _Looks(light, "", "grey")
    noun, light = _by_lightness(noun, light, lightness, chroma)
    if chroma < _TINGED and noun not in ("cream", "beige"):
        return _Looks(light, "brownish" if noun == "brown" else tinge, "grey")
    if noun in ("cream", "beige"):
        return _Looks(light, "", noun)
    if chroma < _GREYISH:
        return _Looks(light, "greyish", noun)
    return _Looks(light, "vivid" if chroma > _VIVID else "", noun)


def _by_lightness(noun: str, light: str, lightness: float, chroma: float) -> tuple[str, str]:
    """Return noun and word of lightness where a hue is called something else light or dark."""
    warm = noun in ("orange", "golden yellow")
    if warm and chroma < 0.09 and lightness >= 0.88:
        return "cream", ""
    if warm and chroma < 0.09 and lightness >= 0.72:
        return "beige", ""
    if warm and lightness < 0.62:
        return "brown", light
    if noun == "yellow" and chroma < 0.09 and lightness >= 0.88:
        return "cream", ""
    if noun == "yellow" and lightness < 0.66:
        return "olive", light
    if noun == "red" and lightness >= 0.70:
        return "pink", light
    if noun == "reddish purple" and lightness >= 0.66:
        return "pink", light
    if noun == "pink" and lightness < 0.55:
        return "purplish red", light
    return noun, light
