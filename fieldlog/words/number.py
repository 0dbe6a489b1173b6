"""Numbers: what each is called, what it is about, how it is worked out, what its doubt comes from."""
