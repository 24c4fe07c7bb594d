"""What somebody in front of the saw sees without going anywhere, in words: parts, lamps, job.

It is free, it is the same in every front end, and it is evidence.

Never here: what only an inspection shows.
"""
