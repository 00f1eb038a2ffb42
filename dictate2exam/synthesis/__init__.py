"""Free synthetic voices for training and for measuring; nothing that a user runs needs them."""
