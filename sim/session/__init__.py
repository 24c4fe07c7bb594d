"""One trainee at one saw: the verbs, what is hidden, inspections, lock-out, lessons, journal and replay.

Not here: advice, scores, and anything that draws or prints.
"""
