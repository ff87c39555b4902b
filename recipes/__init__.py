"""The job: from one validated design to the parts and figures of a hand-built motor.

Nothing in here knows a file format; `pack` is the edge where writers of `geometry` are called.
"""
