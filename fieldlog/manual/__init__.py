"""The manual: one text file a topic, read only when it is asked for."""
