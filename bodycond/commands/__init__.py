"""The commands, one module each: what they take, and what they give to be printed."""
