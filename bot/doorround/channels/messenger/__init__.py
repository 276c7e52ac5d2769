"""Common to every messenger: access by invite, commands, queries, and their results.

Imports talk.
"""
