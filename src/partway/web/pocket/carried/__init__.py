"""What a phone carries, put into words: each figure is asked of where the pages ask it."""
