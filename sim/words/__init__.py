"""What the program says: messages as values, and the reader's language, numbers and units.

Here: the form of a message, the list of translated phrases, and the one place where both become text.
Not here: any sentence about the saw; a message's row stands beside the code that says it.
"""
