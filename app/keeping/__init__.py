"""Nothing lost: what is written beside the designer's own files, and who has which one open."""
