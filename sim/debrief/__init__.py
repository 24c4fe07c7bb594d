"""What a session was worth and why: evidence, best plan, score, the page to print, the class, what is next.

Not here: anything that acts on a saw, or that is shown while a session runs (but hints).
"""
