"""The outbox sent: texts, voice notes, charts, menus. Imports transport and wire."""
