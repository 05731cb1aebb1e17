"""What the bench shows: the queue, one find, its steps and its depth."""
