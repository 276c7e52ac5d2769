"""What the bot says, every sentence of it, in modules by purpose. Imports domain only; trade words
come from the checklist and the grammar.

To read all of it at one sitting: docs/messages.md, printed by `python -m scripts.print_messages
--write`.
"""
