"""The command line: one module a command, which reads files and options, calls the package, and prints.

Everything heavy is imported by the command that needs it, so that ``--help`` is quick.
"""
