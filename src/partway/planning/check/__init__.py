"""What no plan escapes: every constraint again, the money again, and the word of other methods."""
