"""The supervisor's summary and its chart. Imports logbook and domain."""
