"""Pen, letters, palette and widgets: what any page is made of.

Not here: the saw. Outside the window it knows `words`, `resources` and the settings of `records` only.
"""
