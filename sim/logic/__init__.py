"""The logic bench: why not, force and jumper, proof, prints and traces, all from the running tables.

Never here: a second copy of a rule. Imports `saw`, `control`, `signals` and below.
"""
