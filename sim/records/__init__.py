"""What is kept of a session: the chained record of its acts, and the file it lies in.

Never here: what an act means, how it is scored, or the saw itself.
"""
