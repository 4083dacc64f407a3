//! Prints a random harness as a file: `cargo run -p sparktrail-core --example random_harness -- SEED MOST_CYLINDERS`.

use sparktrail_core::model::file;
use sparktrail_core::model::random::random_harness;

fn main() {
    let mut words = std::env::args().skip(1);
    let seed = words.next().and_then(|word| word.parse().ok()).unwrap_or(1);
    let most = words.next().and_then(|word| word.parse().ok()).unwrap_or(8);
    print!("{}", file::write(&random_harness(seed, most)));
}
