"""The desk below the picture: keys, lamps, gauges, coach line, banner.

Not here: what a key does, which the session knows.
"""
