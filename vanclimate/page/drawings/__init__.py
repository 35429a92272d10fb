"""Drawings of the technical sheet: each a function from an answer's parts to a `Drawing`.

All are drawn to the pixel on a `canvas.Canvas`, so that no text ever lies on another.
"""
