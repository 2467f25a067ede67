"""What two texts have in common."""

import re


def sentences(text):
    """Return what is said, sentence by sentence, figures left out."""
    parts = re.split(r"[.:;\n]|, ", text)
    bare = {re.sub(r"[\d\W_]+", " ", part).strip() for part in parts}
    return {part for part in bare if " " in part}
