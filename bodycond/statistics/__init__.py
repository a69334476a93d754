"""Arrays in, frozen results out: line fits, agreement counts, resampling. No birds, no tables."""
