"""The inbox worked through: dispatched by chat, access, commands, then the talk.

Imports outbound, transport and wire.
"""
