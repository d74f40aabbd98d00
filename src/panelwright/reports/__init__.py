"""A record as a person or a machine reads it: text, JSON, drawing. No database, no formulas."""
