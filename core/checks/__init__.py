"""What a tech editor would mark, each with the place it speaks of."""
