"""Speech models on this machine: found, fetched, held to their checksums.

Imports only hearing.errors.
"""
