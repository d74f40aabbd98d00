"""Formulas: pure functions of arrays in SI units, each registered with its equation and source.

Everything broadcasts: a stack has shape ``(..., L)`` with the layers on the last axis, and the
same line serves one panel, a thousand draws or a hundred thousand candidates.
"""
