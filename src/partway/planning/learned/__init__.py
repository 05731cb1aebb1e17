"""What one search leaves for the next one of the same scenario at other prices."""
