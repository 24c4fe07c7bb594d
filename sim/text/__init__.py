"""The session in a terminal, and the reports of the commands, in words.

Never here: rules of the saw, scores, or drawing. Imports `drill` and below; never `view`.
"""
