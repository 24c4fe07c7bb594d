"""One trainee at one saw: the verbs, what is hidden, inspections, lock-out, lessons, journal and replay.

The three lists and the record's lines are in `kept`.
Not here: advice, scores, and anything that draws or prints.
"""
