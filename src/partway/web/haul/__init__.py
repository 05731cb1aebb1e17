"""Plans, trips and tickets: pages, forms and JSON."""
