"""Recordings as 16 kHz mono samples: decoded, cut to their speech, measured.

Imports model_files and below.
"""
