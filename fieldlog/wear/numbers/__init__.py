"""The numbers that pages about wear show, each opened up to what it is worked out from."""
