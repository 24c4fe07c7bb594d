"""What can happen to the live controller, and what holds in all of it.

Here: the controller's code unfolded into trees, the moves, the properties, how one is broken.
Not here: the plant's numbers, since a switch may go wherever physics could drive it; the search
over all states is in `search`.
"""
