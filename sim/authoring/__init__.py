"""Making drills: the check that proves one sound, the draw that makes one by chance, the policies.

Not here: a trainee's own session; whatever runs here is a copy.
"""
