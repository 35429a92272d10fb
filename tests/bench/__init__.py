"""Benchmarks of the compiled loop: ``python -m tests.bench`` from the repository's root."""
