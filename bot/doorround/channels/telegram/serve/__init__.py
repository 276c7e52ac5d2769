"""The assembled service, and its upkeep. Imports all of telegram."""
