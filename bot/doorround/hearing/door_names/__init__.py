"""Recognises doors by what people call them: names from the register, door resolution, confidence.

Imports decision and below.
"""
