"""The parts of the stripe strip: where things are, what is chosen, hands, deeds, menus."""
