"""Elements and mechanisms in series between load and shaft."""
