"""Everything specific to English rather than to the method: words, numbers, phrasing, spelling.
Imports nothing.

Another language would have a package of the same modules.
"""
