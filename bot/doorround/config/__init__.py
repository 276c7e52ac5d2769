"""Settings, bundled files, and access rights of the data folder.

Imports domain and the channels' options.
"""
