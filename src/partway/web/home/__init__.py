"""Today, the settings, and taking back what was just recorded."""
