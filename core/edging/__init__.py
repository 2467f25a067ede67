"""Straight ends and a border: fill rows from the simulated outline, stitches to pick up."""
