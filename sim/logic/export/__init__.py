"""The proved model and the tables written for other people's tools: Promela, SCXML.

Not here: a second copy of a rule; all of it is read from the tables and the unfolded code.
"""
