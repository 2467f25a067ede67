"""The parts of the shelf's window."""
