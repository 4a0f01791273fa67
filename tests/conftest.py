"""What holds for every test: the same examples in every run, no test judged by the clock."""

from hypothesis import settings

settings.register_profile("dutyline", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("dutyline")
