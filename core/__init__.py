"""The trade itself: rows, fabric, chart, stripes and words, computed without any screen."""
