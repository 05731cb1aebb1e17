"""What the buyers show: the sheet of prices, one buyer, one price over time."""
