"""Making drills: the check that proves one sound, and the draw that makes one by chance.

Not here: a trainee's own session; whatever runs here is a copy.
"""
