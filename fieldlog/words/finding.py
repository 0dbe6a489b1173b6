"""What was found on a joint, why, and what to do next."""
