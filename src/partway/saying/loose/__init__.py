"""What is not said as acts are said: in any order of its words, with gaps, or in words that sound alike."""
