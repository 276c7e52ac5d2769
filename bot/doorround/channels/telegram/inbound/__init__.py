"""Input from Telegram: updates parsed, files fetched. Imports transport and wire."""
