"""Making drills: the check that proves one sound, and the draw that makes one by chance.

Not here: a trainee's session; those that run here are opened here.
"""
