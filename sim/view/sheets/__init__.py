"""The sheets under the picture, one file each; `pages.tabs` lists them.

Not here: rules and findings; a sheet shows what the session answers.
"""
