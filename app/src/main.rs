//! Starts Sparktrail in the browser.

fn main() {
    sparktrail::run();
}
