"""How figures are known: the formula in words, what went into it, and where it comes from."""
