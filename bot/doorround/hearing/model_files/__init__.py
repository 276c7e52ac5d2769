"""Local speech models: found, downloaded, verified by checksum.

Imports only hearing.errors.
"""
