"""The chart: which symbol stands where, in millimetres, and its SVG text."""
