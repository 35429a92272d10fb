"""Stops one after the other; the answer is in ``answer``."""
