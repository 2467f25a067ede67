"""For loops of tests: a loop over nothing would pass."""


def some(things):
    """Return things as a list, of which there is at least one."""
    found = list(things)
    assert found, "there is nothing to look at"
    return found
