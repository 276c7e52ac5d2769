"""The doorround command, one file per group of commands. Imports everything; nothing imports it."""
