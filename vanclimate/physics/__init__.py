"""Pure physics: numbers in, numbers out; no van, no clock, no files.

One module per phenomenon: air, conduction, convection, longwave, glass, airflow, moisture, comfort.
Functions marked as jittable run in Python on floats and arrays and are compiled into the simulation
loop from the same source, so that what the tests check is what the loop computes.
"""
