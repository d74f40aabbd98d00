"""What the shop floor needs: how much resin to mix and buy, and by and by the whole build sheet."""
