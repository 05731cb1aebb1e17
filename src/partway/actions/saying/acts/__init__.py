"""One module for the acts of a place: what each records, from its words."""
