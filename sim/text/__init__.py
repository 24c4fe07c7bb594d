"""The session in a terminal: its language, its console, what is said of the saw.

Not here: rules of the saw, scores, or drawing; what is typed is in `typed`, how the machine
stands in `machine`, the commands' reports in `reports`.
"""
