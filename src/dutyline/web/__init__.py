"""The workbench over HTTP: addresses to verbs, results to pages; nothing is computed here."""
