"""One module a verb, or a family of them; each offers `run(args) -> exit code`."""
