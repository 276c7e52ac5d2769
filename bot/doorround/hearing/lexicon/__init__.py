"""Words: tokenised, pronounced, compared phonetically. Imports automata and below."""
