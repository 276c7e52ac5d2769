"""How people reach the bot: talk, then messenger, then one package a channel.

Imports all layers under it: reminders, reports, logbook, speaking, hearing, dialogue, domain.
"""
