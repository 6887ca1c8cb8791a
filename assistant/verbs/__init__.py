"""The verbs of the command: arguments in, sentences out, exit code back."""
