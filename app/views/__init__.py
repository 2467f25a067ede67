"""One module a panel: each paints what it is given and reports what was wished for."""
