"""The console below the picture: mimic, keys, mode, job, alarms, gauges, coach line, banner.

Not here: what a key does, which the session knows.
"""
