"""Forms, one file each: fields to type in, the check of what was typed, and what is done with it.

Whoever opens one loads its file then, so that the screens start without any. Tab moves, Enter saves.
"""
