"""The session as it is typed: its language, what each word does, what is listed, the console.

Never here: what a session is written on, and words for how the machine stands (see `machine`).
"""
