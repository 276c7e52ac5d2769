"""Second interpreter: typed text, or the free transcript of speech, outside the grammar.

It offers meanings and reads back; words outside the grammar never pass a part without a question.
May import domain, dialogue and hearing.
"""
