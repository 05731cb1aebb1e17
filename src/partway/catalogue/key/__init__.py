"""The test key as files: read, and checked."""
