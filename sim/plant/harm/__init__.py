"""What harm the saw can do: the kinds as a table, and what happened, with the numbers of the physics.

Not here: the parts that notice it; each tells the site.
"""
