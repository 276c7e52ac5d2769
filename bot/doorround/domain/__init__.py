"""The trade as pure values and functions: doors, checklists, answers, findings, defects, people.

Imports nothing.
"""
