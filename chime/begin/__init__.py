"""What somebody starts from: the text of a first programme, of a first machine, of next year's programme.

Everything here is text in, text out; the command line reads and writes the files.
"""
