"""Colours for a blanket: how they are seen, which ones merge, and where new ones come from."""
