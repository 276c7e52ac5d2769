"""What words mean that the grammar does not read: typed words, or the free transcript of speech.

It offers and reads back; what was told in other words than the grammar's never passes a part
unasked. May import domain, dialogue and hearing.
"""
