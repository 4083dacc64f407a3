//! `cargo xtask serve | test | build | tidy | measure`.

fn main() {}
