"""What the bins show: all of them, one of them, their labels."""
