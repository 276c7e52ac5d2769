"""One caretaker's talk, whatever the channel: recording or words in, what to say out; files kept by
hash.

Imports no other channel.
"""
