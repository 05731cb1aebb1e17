"""Papers to print and take along, as PDF: the only place that knows points and millimetres."""
