"""Messages out to any messenger: sending the outbox, menus, files, voice notes. Imports results,
talk.
"""
