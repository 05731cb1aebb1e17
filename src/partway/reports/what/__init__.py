"""What "What is it?" shows: the test key, guides, cautions and rules of the place."""
