"""What the curb shows: worth lifting, or not."""
