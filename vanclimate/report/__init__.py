"""Answers in words, tables and charts: formatting only."""
