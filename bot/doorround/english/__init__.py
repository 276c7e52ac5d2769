"""What is English and no method: words, numbers, how things are said and spelt. Imports nothing.

Another language would bring a package of the same modules.
"""
