"""One Hypothesis profile for every test: the same examples each time, no stopwatch.

A deadline measures how busy the machine is, not whether the code is right, and a first example
pays for lazy imports. The examples are drawn afresh with `--hypothesis-profile=explore`.
"""

from hypothesis import settings

settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=500)
settings.load_profile("same")
