"""How a list is laid out: rows and cells, headings over them, what stands beside prices and is none."""
