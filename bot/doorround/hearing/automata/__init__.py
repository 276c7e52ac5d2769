"""Word automata without meanings: composed and minimised. Imports nothing."""
