"""What lots fell for, and the purchases that follow."""
