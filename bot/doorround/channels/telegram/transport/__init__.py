"""Bot API transport: polling, webhook, downloads, back-off, rate limit. Imports wire."""
