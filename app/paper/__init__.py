"""Sheets for the shop and the chair, drawn onto pages."""
