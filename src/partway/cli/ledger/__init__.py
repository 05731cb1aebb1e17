"""The working day on the command line: thin, one command a verb of the actions."""
