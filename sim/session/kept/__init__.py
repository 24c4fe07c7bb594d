"""What a session keeps: deeds, findings and events, what it says of them, and the record's lines.

Never here: the verbs that change the saw, or what is hidden in it.
"""
