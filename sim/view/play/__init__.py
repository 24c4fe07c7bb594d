"""A session as the window plays it: hands and keys, hearing, telling, samples, players of runs.

Not here: drawing; a page asks, and draws.
"""
