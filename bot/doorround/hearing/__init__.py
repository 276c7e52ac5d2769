"""From a recording to its meaning, in stages, each a package that imports only earlier ones:

automata, audio, lexicon, grammar, engines, decision, door_names, session, adaptation. Below them
are this package's model files, errors and cache. Outside hearing they import dialogue and domain.
"""
