"""Every reachable state of the live controller: unfolded from its code, searched, held to the properties.

Not here: the plant's numbers; a switch may go wherever physics could drive it.
"""
