"""A year of books as files for whoever keeps the accounts: a spreadsheet, or CSV in a zip file."""
