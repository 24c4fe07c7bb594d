"""Lessons: which step is asked, whether its goal is reached, what is said to be wanting.

Not here: how a goal is brought about, and what a coach says.
"""
