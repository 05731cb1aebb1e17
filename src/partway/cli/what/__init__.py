"""The test key, the catalogue and cautions on the command line."""
