"""The plan and the trips on the command line."""
