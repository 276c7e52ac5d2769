"""The service put together, and its upkeep. Imports all of telegram."""
