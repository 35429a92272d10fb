"""Benchmarks of the compiled loop: ``python -m bench`` from the repository's root."""
