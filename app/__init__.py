"""The window and everything that needs Qt."""
