//! The rackshade command.

fn main() {}
