"""The calculations of a set-up, with the warnings that belong to them: `drycycle calc`.

Not here: formulas, which `trade` has; and a saw, which `calc` never runs.
"""
