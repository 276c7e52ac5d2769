"""The talk as pure functions: from one input to the next thing to say and what to enter.

Imports domain.
"""
