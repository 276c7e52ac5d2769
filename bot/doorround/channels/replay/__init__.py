"""Plays scripted visits against the real parts. Imports talk."""
