"""Time, motion and chance: a clock of appointments, laws of motion, axes, seeded streams, the pace.

Not here: anything that knows of saws.
"""
