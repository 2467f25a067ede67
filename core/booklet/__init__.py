"""The finished pattern as a tree of parts, and as markup.

It says what goes into an edition, in which order, and how pictures read in words.
"""
