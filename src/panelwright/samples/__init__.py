"""Readings of a piece, what they come to, how that stands to the prediction, what is learnt."""
