//! Takes pictures of the page while it is being built: `cargo xtask screens`.

fn main() {}
