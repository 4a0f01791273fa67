"""dutyline: find, prove and document servo axes."""
