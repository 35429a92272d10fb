"""Weather brought from open services: the network, and the store of what came.

In the order in which they may import each other: ``names`` (files of the store), ``entry`` (one
file), ``store`` (all of them, by place); ``services`` (queries), ``download`` (the network: nothing
else touches it), ``fetch`` (a service's years into the store).
"""
