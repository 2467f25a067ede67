"""Rows worked out stitch by stitch: parents, counts, the foundation, the families of waves."""
