"""What is kept on this computer: the chained record of a session and its file, settings, results.

Never here: what an act means, how it is scored, or the saw itself.
"""
