"""Who ran the saw before the trainee came: the operator's keys, his run, and the pieces that he left.

Not here: what could be told of his run (see `sim.diagnosis.account`).
"""
