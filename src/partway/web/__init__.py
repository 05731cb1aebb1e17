"""The app: pages and a JSON interface over the same actions and reports as the command line. No arithmetic here."""
