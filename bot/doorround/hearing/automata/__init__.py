"""What may be said as automata of words, without meaning: joined, made small. Imports nothing."""
