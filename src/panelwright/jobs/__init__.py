"""One module for each job; what both faces call. Jobs take and return records."""
