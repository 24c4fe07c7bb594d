"""Logic: the bench that reads the running tables, the proof over them, and both for other tools.

Not here: control itself; nothing in this wing is needed to run a saw.
"""
