"""The session in a terminal: its language, its console, what is said of the saw.

Not here: rules of the saw, scores, or drawing; the commands' reports are in `reports`.
"""
