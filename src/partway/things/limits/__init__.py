"""What buyers, opening hours and the shed allow."""
