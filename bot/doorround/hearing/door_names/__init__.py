"""Doors by what people call them: names from the register, which door is meant, how surely.

Imports decision and below.
"""
