"""What is known: floats in, floats out; units and source in the docstring."""
