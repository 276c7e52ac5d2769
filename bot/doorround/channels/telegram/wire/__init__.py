"""Telegram's updates and our messages as values. Imports no other package of telegram."""
