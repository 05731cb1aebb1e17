"""A month or a year of the books for somebody else: on paper, in files, as a picture."""
