"""The hands of the person at the saw: where each act puts them, what must hold there, what came of it.

Never here: what an act does to the saw, points, or anything that refuses an act; a lock does that.
"""
