"""The calculations of a set-up, with the warnings that belong to them: `drycycle calc`.

Not here: formulas, which `trade` has. Only `job_estimate` runs a saw, to time a job beside its estimate.
"""
