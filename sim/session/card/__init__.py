"""The set-up card: what a good operator would set, and why.

Not here: how far from it is near enough.
"""
