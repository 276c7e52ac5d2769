"""What an answer means for a door: rules with their sources, severities, the whole door's verdict.

Imports domain.
"""
