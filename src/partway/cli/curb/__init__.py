"""Commands of the curb: collecting rounds, and what to lift first."""
