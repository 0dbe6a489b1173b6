"""What a logbook holds, as frozen records: no files, no clock, no screen."""
