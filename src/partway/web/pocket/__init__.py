"""The pocket: what a phone carries along, and what it brings back."""
