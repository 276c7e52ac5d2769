"""Text read aloud: made speakable, spoken, kept. Imports hearing and domain."""
