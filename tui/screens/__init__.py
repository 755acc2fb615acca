"""Whole screens: the desk with its steps, and the questions laid over it."""
