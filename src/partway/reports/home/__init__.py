"""What today and the first steps show."""
