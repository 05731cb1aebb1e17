"""Money, hours, looking back, and putting right what was recorded."""
