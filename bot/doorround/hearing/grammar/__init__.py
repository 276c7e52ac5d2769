"""Accepted phrases and their meanings: JSGF files, automata, negation, confusable phrases.

Imports lexicon and below.
"""
