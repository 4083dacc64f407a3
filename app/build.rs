//! Writes the list of examples from the sample harnesses, so that the first screen needs no request.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() {
    // The tool that cuts the program in two follows its relocations.
    let wasm = env::var("CARGO_CFG_TARGET_FAMILY").is_ok_and(|family| family == "wasm");
    if wasm && env::var_os("CARGO_FEATURE_PARTS").is_some() {
        println!("cargo::rustc-link-arg-bins=--emit-relocs");
    }
    let here = env::var_os("CARGO_MANIFEST_DIR").expect("cargo says where the package is");
    let samples = Path::new(&here).join("../sample-harnesses");
    println!("cargo::rerun-if-changed={}", samples.display());
    let mut files: Vec<PathBuf> = fs::read_dir(&samples)
        .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
        .unwrap_or_default();
    files.retain(|file| file.extension().is_some_and(|end| end == "json"));
    files.sort();

    let mut list = String::from("&[\n");
    for file in files {
        let text = fs::read_to_string(&file).expect("a sample can be read");
        let map: serde_json::Value = serde_json::from_str(&text).expect("a sample is JSON");
        // The folder also holds the format's schema, which is no map.
        if map["format"] != "sparktrail-harness" {
            continue;
        }
        let name = file
            .file_name()
            .and_then(|name| name.to_str())
            .expect("a plain name");
        let rows: Vec<Vec<u64>> = map["engine"]["banks"]
            .as_array()
            .into_iter()
            .flatten()
            .map(|bank| {
                bank["cylinders"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .filter_map(serde_json::Value::as_u64)
                    .collect()
            })
            .collect();
        let rows: Vec<String> = rows.iter().map(|row| format!("&{row:?}")).collect();
        writeln!(
            list,
            "    Sample {{ file: {name:?}, title: {:?}, story: {:?}, rows: &[{}] }},",
            map["title"].as_str().unwrap_or(name),
            map["about"].as_str().unwrap_or_default(),
            rows.join(", "),
        )
        .expect("text can be written to a string");
    }
    list.push_str("]\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets OUT_DIR"));
    fs::write(out.join("samples.rs"), list).expect("the list can be written");
}
