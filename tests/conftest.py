"""Settings for every test."""

from hypothesis import settings

# A landing must not hang on the luck of a draw, so the same examples are tried each time;
# ``--hypothesis-profile=explore`` looks further.
settings.register_profile("fixed", derandomize=True, deadline=None)
settings.register_profile("explore", derandomize=False, deadline=None, max_examples=1000)
settings.load_profile("fixed")
