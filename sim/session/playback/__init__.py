"""A record played again: the session as it was opened, and its acts.

Not here: what lines a record has.
"""
