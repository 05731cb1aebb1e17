"""The bench: pages, forms and JSON of finds."""
