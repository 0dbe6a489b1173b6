"""Published tables as read-only data, each value with its source."""
