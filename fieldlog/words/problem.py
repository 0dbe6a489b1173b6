"""What is wrong in the files, where, and what would be accepted."""
