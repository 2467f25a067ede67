"""What went wrong with the edge: mistakes worked on purpose, their pictures and their counts."""
