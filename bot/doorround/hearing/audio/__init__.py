"""Recordings as 16 kHz mono samples: decoded, trimmed to speech, measured.

Imports model_files and below.
"""
