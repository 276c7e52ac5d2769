"""Adapts recognition to an organisation: calibration on its recordings, its own words.

Imports session and below.
"""
