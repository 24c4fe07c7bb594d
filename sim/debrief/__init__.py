"""What a session was worth and why: evidence, best plan, score, the page to print, the class, what is next.

Not here: anything that acts on a saw. While a session runs only hints come from here.
"""
