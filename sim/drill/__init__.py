"""Scenario files and what a trainee does with them: session, inspections, diagnosis, scoring.

Never here: drawing, or rules of the controller. Imports everything from `logic | records` down.
"""
