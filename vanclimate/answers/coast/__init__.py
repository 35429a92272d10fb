"""How soon it is dangerous once the AC or the heater stops; the answer is in ``answer``."""
