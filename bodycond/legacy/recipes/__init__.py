"""The import recipe: what each column of each sheet means, as a file that a person can review."""
