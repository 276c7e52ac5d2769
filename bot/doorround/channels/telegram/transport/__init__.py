"""To and from the Bot API: polling, webhook, downloads, backoff, rate limit. Imports wire."""
