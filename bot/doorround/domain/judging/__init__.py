"""What an answer means for a door: rules with their sources, severities, the verdict on the whole
door.

Imports domain.
"""
