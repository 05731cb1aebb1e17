"""What a piece is: the test key, what was found out, and the rules of the place."""
