//! Starts the program: the window, or the command line.

fn main() {}
