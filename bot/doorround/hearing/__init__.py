"""From a recording to what was said, in stages, each a package that imports only those before it:

automata, audio, lexicon, grammar, engines, decision, door_names, session, adaptation. Under them
all lie the model files, the errors and the cache of this package. Beyond hearing they import
dialogue and domain.
"""
