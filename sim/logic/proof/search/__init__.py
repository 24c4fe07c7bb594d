"""The search over all states, with arrays of numpy: numbering them, working out moves, visiting each.

Here: packing and trees on many states at once, tables of effects, layers, the second process.
Not here: what may happen and what must hold; the files one level up say that, without numpy.
"""
