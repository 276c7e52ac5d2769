"""One caretaker's talk, independent of channel: recording or words in, replies out; files stored by
hash.

Imports no other channel.
"""
