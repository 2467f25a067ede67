"""The written pattern: rows and the whole text, in several languages, forms and sizes."""
