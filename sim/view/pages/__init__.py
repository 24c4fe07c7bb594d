"""Whole pages and the program's window: home, saw, debrief, replay, example, settings.

Not here: parts that two pages share, which `kit`, `play`, `console`, `picture` and `sheets` have.
"""
