"""What may be said and what it means: JSGF files, their automata, what denies and what is confused.

Imports lexicon and below.
"""
