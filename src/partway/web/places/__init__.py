"""One module for each place: routes, and what their pages show."""
