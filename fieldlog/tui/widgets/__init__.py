"""The few widgets the screens are made of, each quiet on a slow line."""
