"""The parts of the dialog that a new design is begun in."""
