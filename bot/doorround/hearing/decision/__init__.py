"""The recognition pipeline: competitors, rescoring, calibration, coverage, accept gate.

Imports engines and below.
"""
