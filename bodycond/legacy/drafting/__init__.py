"""A first recipe from the files alone: what is certain is filled in, the rest is asked."""
