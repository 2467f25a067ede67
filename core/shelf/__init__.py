"""The shelf: yarns kept between designs, in one local file that no design speaks of."""
