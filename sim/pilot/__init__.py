"""Hands that know the way: the autopilot, the lesson player and the acts that they share.

Not here: what a trainee did; the pilot uses the session's verbs as a person does.
"""
