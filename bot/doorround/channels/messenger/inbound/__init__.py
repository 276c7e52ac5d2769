"""Messages in from any messenger: stored, queued, processed. Imports outbound and talk."""
