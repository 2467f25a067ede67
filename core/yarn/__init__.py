"""Metres, grams and balls of each colour."""
