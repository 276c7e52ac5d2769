"""Speech engines: Whisper with a grammar-constrained beam search, Moonshine, PocketSphinx, Vosk.

Imports grammar and below.
"""
