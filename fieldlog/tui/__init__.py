"""The full-screen logbook: screens show findings and write entries, they never compute."""
