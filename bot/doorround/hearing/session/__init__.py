"""One turn: grammar for a question, recognition, words to answers; a worker pool for many chats.

Imports door_names and below.
"""
