"""The written pattern: rows, abbreviations and the whole text, in US or UK terms."""
