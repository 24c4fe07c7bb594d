"""The coach and its advice: what a trainee's hand did wrong, what a cut would do, the way out of a refusal.

Not here: what is hidden in the saw; teaching sees what the trainee could see, and the tables.
"""
