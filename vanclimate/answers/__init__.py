"""Traces turned into answers: one module a question."""
