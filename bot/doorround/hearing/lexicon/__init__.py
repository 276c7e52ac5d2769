"""Words: split, pronounced, compared by sound. Imports automata and below."""
