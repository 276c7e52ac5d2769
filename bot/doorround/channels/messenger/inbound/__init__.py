"""What comes in from any messenger: kept, queued, dealt with. Imports outbound and talk."""
