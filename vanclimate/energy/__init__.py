"""Electricity only: the bank, the inverter, the roof panels' power at the bank."""
