"""One axis on one page: what a browser shows, as plain records in the reader's words."""
