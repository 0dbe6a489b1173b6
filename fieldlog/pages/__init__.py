"""What each page says, as lines of marked words; screens and print show the same."""
