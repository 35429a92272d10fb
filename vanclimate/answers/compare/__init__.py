"""Two sheets on one question; the answer is in ``answer``."""
