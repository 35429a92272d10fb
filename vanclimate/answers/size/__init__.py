"""The smallest sizes that are enough; the answer is in ``answer``."""
