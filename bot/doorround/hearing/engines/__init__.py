"""Speech engines: Whisper by beam search over a grammar, Moonshine, PocketSphinx, Vosk.

Imports grammar and below.
"""
