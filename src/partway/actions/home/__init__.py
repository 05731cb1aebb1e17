"""The workspace itself: its settings."""
