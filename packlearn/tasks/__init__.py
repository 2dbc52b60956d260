"""Tasks: files, variants, answers worked out by the library, wrong rules, checking."""
