"""The wiring of a saw as data, what can fail in it, and the network of resistances that it makes.

Never here: the plant, the controller, and what a hand does at either.
"""
