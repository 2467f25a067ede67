"""A file's values with one of them changed, and the sentence that refuses them."""

import copy
import json

import pytest

from core.design.files import design_from_bytes
from core.errors import DesignError


def changed(raw, path, value):
    """Return the file's values with one place set, or taken out where the value is `...`."""
    raw = copy.deepcopy(raw)
    *way, last = path
    place = raw
    for step in way:
        place = place[step]
    if value is ...:
        del place[last]
    else:
        place[last] = value
    return json.dumps(raw).encode()


def refusal(data: bytes) -> str:
    with pytest.raises(DesignError) as caught:
        design_from_bytes(data)
    return str(caught.value)
