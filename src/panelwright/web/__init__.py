"""The workshop: pages over a shelf, and their twins for machines; asks jobs, shows records."""
