"""Sends the outbox: texts, voice notes, charts, menus. Imports transport and wire."""
