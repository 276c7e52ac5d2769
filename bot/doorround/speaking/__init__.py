"""Text to speech: normalised, synthesised, cached. Imports hearing and domain."""
