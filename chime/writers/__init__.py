"""Take what was compiled and checked, give files as bytes; one module for each kind of file."""
