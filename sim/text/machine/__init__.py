"""How the machine stands, in words for somebody in front of it: parts, controller, job.

Never here: what was typed, or what is to be done about it.
"""
