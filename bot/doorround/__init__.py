"""doorround: leads a caretaker through a fire door check by voice or chat, and keeps the
logbook.
"""
