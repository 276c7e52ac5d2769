"""Telegram: updates in through the inbox, messages out through the outbox.

Bottom up: wire, transport, outbound, inbound, serve; each imports only those before it, talk and messenger.
"""
