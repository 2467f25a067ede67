"""The pages at the side: each shows results and wishes for edits, one module a page."""
