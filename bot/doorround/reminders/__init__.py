"""What goes out by itself: nudges, summaries, alerts, once a minute.

Imports reports, logbook and domain.
"""
