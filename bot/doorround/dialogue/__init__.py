"""The talk as pure functions: from one input to the next prompts and entries.

Imports domain.
"""
