"""The saw in the round, as the operator sees it: shaded solids from the machine's own sizes.

It shows what `picture.drawn` lets be seen, and asks nothing else of the session. Never here: the plan and
the end view, which stay as the technical drawing.
"""
