"""What holds for every test: no test is judged by the clock of a busy machine."""

from hypothesis import settings

settings.register_profile("dutyline", deadline=None, print_blob=True)
settings.load_profile("dutyline")
