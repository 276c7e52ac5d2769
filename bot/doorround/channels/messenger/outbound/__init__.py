"""What goes out to any messenger: the outbox sent, menus, files, voices. Imports results, talk."""
