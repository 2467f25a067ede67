"""The trade itself: rows, fabric, chart, stripes and words, computed without any screen."""

__version__ = "0.1.0"
