"""What comes in from Telegram: updates read, files fetched. Imports transport and wire."""
