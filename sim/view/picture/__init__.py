"""The saw drawn from the model: plan, end view, and what goes wrong on them.

Not here: physics; the picture reads positions and never keeps one.
"""
