"""What could be done next, as data: danger first, then what is due, then what earns most for a minute of one's own."""
