"""What goes on paper: shopping list, yarn card, stripe ruler, colours stripe by stripe."""
