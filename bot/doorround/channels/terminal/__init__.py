"""A talk in a terminal, typed or spoken. Imports talk."""
