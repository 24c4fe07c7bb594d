"""Calculations of the sawing trade: pure functions and small tables, all in SI.

Nothing here keeps state, reads a file or a clock, or knows of signals and machines.
"""
