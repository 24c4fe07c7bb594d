"""The coach and its advice: what went wrong by a trainee's hand, what it will cost, how to free a blocked way.

Not here: what is hidden in the saw; teaching sees what the trainee could see, and the tables.
"""
