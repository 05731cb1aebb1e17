"""What a person does in a day, as actions on a book: each records all of its events in one append, or none."""
