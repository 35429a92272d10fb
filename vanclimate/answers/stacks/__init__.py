"""Which insulation stack is worth it; the answer is in ``answer``."""
