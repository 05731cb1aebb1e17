"""What exists and what always holds of it: frozen dataclasses, units, currencies, defaults; no files, no decisions."""
