"""What is typed at the parts counter."""
