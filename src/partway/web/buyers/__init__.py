"""Buyers: pages, forms and JSON of who pays what."""
