"""Scenario files: read field by field, refused with one message, taught by a schema, written again."""
