"""Facts of the trade: the stitches and the published tables."""
