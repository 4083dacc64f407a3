//! Measures the core: natively it prints the rows, in a page it leaves them in `measuredRows`.

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    println!("{}", sparktrail_measures::rows());
}

#[cfg(target_arch = "wasm32")]
fn main() {
    let rows = sparktrail_measures::rows().to_string();
    let kept = js_sys::Reflect::set(&js_sys::global(), &"measuredRows".into(), &rows.into());
    assert!(kept.is_ok(), "the page keeps no rows");
}
