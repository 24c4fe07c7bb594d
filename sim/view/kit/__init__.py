"""Pen, letters, palette and widgets: what any page is made of.

Not here: the saw; only `words` and `units` of the house are known.
"""
