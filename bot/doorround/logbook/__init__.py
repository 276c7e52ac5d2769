"""The append-only logbook in SQLite: entries in a hash chain, views, inbox and outbox.

Imports dialogue and domain.
"""
