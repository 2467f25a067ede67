"""Chart and fabric onto any QPainter: screen, picture, PDF."""
