"""What exists: frozen dataclasses, no files, no decisions."""
