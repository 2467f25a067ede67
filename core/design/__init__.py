"""What the user decided: the document, its edits and its file."""
