"""The hydraulic circuit as a line diagram: its signs and where each stands, as tables, and what oil does in it now.

Never here: a model of the oil; the plant has it, and is read.
"""
