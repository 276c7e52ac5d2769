"""The doorround command, one file a group of commands. Imports everything; nothing imports it."""
