"""Records on paper: labels, datasheets, and PDF of any printed page."""
