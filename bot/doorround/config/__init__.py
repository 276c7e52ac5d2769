"""Settings, the files that travel with the program, and who may read the data folder.

Imports domain and the channels' options.
"""
