"""The ledger on disk: the book over SQLite or PostgreSQL, and where a workspace lies.

Its rooms are tables, writing, reading, exchange, backup, scenario files and the doctor.
"""
