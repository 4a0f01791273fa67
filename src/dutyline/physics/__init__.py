"""One function per published relation, SI in and SI out."""
