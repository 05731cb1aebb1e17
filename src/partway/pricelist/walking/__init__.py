"""The walk over the tokens of a list: what each step takes, and what it leaves to the next."""
