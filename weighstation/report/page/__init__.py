"""Rows and columns -> a page of text that any terminal shows.

What every sheet, chart and plan is made of, and how a figure, a name and a warning are written.
Nothing here knows what the figures are about.
"""
