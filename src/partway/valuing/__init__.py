"""Every figure a person can see, worked out here and once: no words, nothing drawn."""
