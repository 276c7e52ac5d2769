"""How people reach the bot: talk, then messenger, then one package per channel.

Imports all layers below: reminders, reports, logbook, speaking, hearing, dialogue, domain.
"""
