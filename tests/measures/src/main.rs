//! Measures the core: natively it prints the rows, of one floor where one is named, in a page it leaves them in `measuredRows`.

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    let only = std::env::args().nth(1);
    let wanted = |floor: &str| only.as_deref().is_none_or(|only| only == floor);
    println!("{}", sparktrail_measures::rows_of(wanted));
}

#[cfg(target_arch = "wasm32")]
fn main() {
    let rows = sparktrail_measures::rows().to_string();
    let kept = js_sys::Reflect::set(&js_sys::global(), &"measuredRows".into(), &rows.into());
    assert!(kept.is_ok(), "the page keeps no rows");
}
