"""A described van turned into nodes, capacities, conductances and sources."""
