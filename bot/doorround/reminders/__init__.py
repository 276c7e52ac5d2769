"""Messages sent unprompted: nudges, summaries, alerts, once a minute.

Imports reports, logbook and domain.
"""
