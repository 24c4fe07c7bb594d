"""What people write wrong in a YAML file who only edit one, and what they write instead.

Here: lines, quotes and brackets that keep a file from being YAML at all, what a model expects at a
place, and numbers that were written as one writes them elsewhere. Never here: what a file may say.
"""
