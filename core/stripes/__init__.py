"""A yarn for every row: the stripe sequence, and what its colours do to one another."""
