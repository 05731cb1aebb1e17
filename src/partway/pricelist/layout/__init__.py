"""How a list is laid out: rows, headings over them, what is said of a thing, what stands beside prices and is none."""
