"""Where every stitch settles, and what can be measured on the settled fabric."""
