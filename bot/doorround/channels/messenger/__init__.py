"""What any messenger needs: access by invite, commands, queries, and their results.

Imports talk.
"""
