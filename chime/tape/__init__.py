"""Takes dated rings, gives the rows and holes of every tape."""
