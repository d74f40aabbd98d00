"""The command line: text -> job -> record -> text."""
