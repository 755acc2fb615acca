"""Views of a plan as text, JSON and paper. One sheet, one file.

A sheet turns values of the model into words. It computes nothing of the trade
and reads no file.
"""
