"""What is it? Pages, forms and JSON of the test key, calculators, cautions and rules of the place."""
