"""One turn: the grammar of a question, its recording heard, words made answers; many chats at once.

Imports door_names and below.
"""
