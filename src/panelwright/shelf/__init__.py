"""The shelf: panels with every revision, pieces, photos, materials and prices in a database."""
