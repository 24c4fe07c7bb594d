"""The maintenance bench: why not, the way out, force and jumper, rungs, traces and prints.

Not here: rules; every reader here reads the one interlock table.
"""
