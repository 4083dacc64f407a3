//! Contrast of the palette in `static/tokens.css`, by the WCAG 2.x formula, in both themes.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

/// One colour, red, green, blue.
type Rgb = [u8; 3];

/// Relative luminance of an sRGB colour, 0 (black) to 1 (white).
///
/// # Source
/// WCAG 2.2, "relative luminance" (value from memory; the anchors below hold it to known pairs).
fn luminance(colour: Rgb) -> f64 {
    let [r, g, b] = colour.map(|channel| {
        let c = f64::from(channel) / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

/// Contrast ratio of two colours, 1 to 21.
fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn parse(hex: &str) -> Rgb {
    let hex = hex.trim().strip_prefix('#').unwrap();
    assert_eq!(hex.len(), 6, "an opaque colour is wanted, found #{hex}");
    [0, 2, 4].map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap())
}

/// The blocks of `tokens.css` that hold colours, in the order in which they stand: paper, night garage
/// as the system wishes, night garage as chosen. Opaque colours only.
fn blocks() -> Vec<BTreeMap<String, Rgb>> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../static/tokens.css");
    let text = std::fs::read_to_string(path).unwrap();
    let mut blocks = Vec::new();
    for block in text.split('}') {
        let colours: BTreeMap<String, Rgb> = block
            .lines()
            .filter_map(|line| line.trim().strip_suffix(';')?.split_once(": "))
            .filter(|(name, value)| name.starts_with("--") && value.starts_with('#'))
            .filter(|(_, value)| value.len() == 7)
            .map(|(name, value)| (name.to_owned(), parse(value)))
            .collect();
        if !colours.is_empty() {
            blocks.push(colours);
        }
    }
    blocks
}

/// Every opaque palette entry: name to its light and its dark colour.
fn palette() -> BTreeMap<String, [Rgb; 2]> {
    let blocks = blocks();
    blocks[0]
        .iter()
        .map(|(name, light)| (name.clone(), [*light, blocks[1][name]]))
        .collect()
}

fn check(lower: f64, fronts: &[&str], grounds: &[&str]) {
    let palette = palette();
    let mut low = Vec::new();
    for front in fronts {
        for ground in grounds {
            let (a, b) = (palette[*front], palette[*ground]);
            for (theme, at) in [("light", 0), ("dark", 1)] {
                let ratio = contrast(a[at], b[at]);
                if ratio < lower {
                    low.push(format!("{theme}: {front} on {ground} is {ratio:.2}"));
                }
            }
        }
    }
    assert!(low.is_empty(), "below {lower}:1\n{}", low.join("\n"));
}

/// Anchors worked out apart from this code: grey on white and black on white.
#[test]
fn the_formula_meets_its_anchors() {
    let white = [255; 3];
    for (grey, ratio) in [
        (0x76, 4.542),
        (0x77, 4.478),
        (0x94, 3.033),
        (0x95, 2.995),
        (0x00, 21.0),
    ] {
        let found = contrast([grey; 3], white);
        assert!((found - ratio).abs() < 5e-4, "#{grey:02x}: {found}");
    }
}

#[test]
fn night_is_the_same_by_wish_and_by_choice() {
    let blocks = blocks();
    assert_eq!(blocks.len(), 3);
    assert_eq!(blocks[1], blocks[2]);
    assert!(blocks[0].keys().eq(blocks[1].keys()));
}

/// What a browser paints around the page is the paper of either theme.
#[test]
fn the_frame_of_the_browser_is_paper() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../static/index.html");
    let text = std::fs::read_to_string(path).unwrap();
    let told: Vec<Rgb> = text
        .lines()
        .filter(|line| line.contains("theme-color"))
        .map(|line| parse(&line.split_once("content=\"").unwrap().1[..7]))
        .collect();
    assert_eq!(told, palette()["--paper"]);
}

#[test]
fn the_palette_was_read() {
    let palette = palette();
    for role in [
        "--paper",
        "--ink",
        "--faint",
        "--line",
        "--heat",
        "--cold",
        "--good",
        "--caution",
        "--accent",
    ] {
        assert!(palette.contains_key(role), "{role} is missing");
    }
}

/// WCAG 2.2, 1.4.3 level AA: text 4.5:1 (value from memory).
#[test]
fn text_reads_on_every_ground() {
    check(
        4.5,
        &[
            "--ink",
            "--faint",
            "--heat",
            "--heat-mild",
            "--cold",
            "--good",
            "--accent",
        ],
        &["--paper", "--card", "--part"],
    );
    check(4.5, &["--ink", "--faint"], &["--sunk", "--bank"]);
    check(4.5, &["--ink", "--heat"], &["--heat-wash"]);
    check(4.5, &["--ink", "--cold"], &["--cold-wash"]);
    check(4.5, &["--ink", "--good"], &["--good-wash"]);
    check(4.5, &["--ink", "--accent"], &["--accent-wash"]);
    check(4.5, &["--caution-ink"], &["--caution"]);
    check(4.5, &["--on-strong"], &["--strong"]);
}

/// WCAG 2.2, 1.4.11 level AA: graphics and controls 3:1 (value from memory).
#[test]
fn meaningful_strokes_stand_out() {
    check(
        3.0,
        &[
            "--edge", "--casing", "--lead", "--accent", "--cold", "--heat", "--good",
        ],
        &["--paper", "--card", "--part", "--bank"],
    );
    let volts: Vec<String> = (0..=6).map(|step| format!("--volt-{step}")).collect();
    let volts: Vec<&str> = volts.iter().map(String::as_str).collect();
    check(3.0, &volts, &["--paper", "--card", "--part", "--bank"]);
    check(
        3.0,
        &["--probe-rim"],
        &["--paper", "--card", "--part", "--bank"],
    );
}

/// The letters on the meter's leads.
#[test]
fn the_letters_on_the_leads_read() {
    check(4.5, &["--on-probe"], &["--probe-red", "--probe-black"]);
}
