//! Links of samples, random maps and rubbish.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;

use super::*;
use crate::model::file;
use crate::model::random::random_harness;

/// Targets: 2,000 letters for eight cylinders with a dozen findings, 3,000 for twelve.
#[test]
fn links_of_the_large_samples_are_short() {
    for (text, most) in [(V8, 1_000), (V12, 1_800)] {
        let harness = file::read(text).unwrap();
        assert!(harness.findings.len() >= 12, "{}", harness.findings.len());
        let letters = link(&harness).unwrap();
        println!("{}: {} letters", harness.title, letters.len());
        assert!(letters.len() <= most, "{} letters", letters.len());
        assert_eq!(opened(&letters), Ok(harness));
    }
}

const V8: &str = include_str!("../../../sample-harnesses/white-cruiser.json");
const V12: &str = include_str!("../../../sample-harnesses/silver-limousine.json");

fn sample() -> Harness {
    file::read(V8).unwrap()
}

/// A link that somebody may have kept: whatever changes, links that were sent stay readable. Where this fails the
/// predictor or its primer was changed: links then need another version, and this one its own reader.
#[test]
fn a_link_made_earlier_still_opens() {
    const KEPT: &str = "AV2NHEjKAtEwF8Gp2nbUdFn4eb_F8oac961SVP_QOqyYywnGXop6ShzAuffHgzLTcRTGBU-mY-qvJP1LrlwQscRyAk\
     fOXELU6aVoRb4__G4DDBfSBZSPAt2Bte8ivhBLW0i-A-ie0etKshOeUj_clUNCvDFV6pQgOaDvRIG6nWH4mwqKm34_\
     U3USe0OduyhRgh3OLcGxKvdNcgdAkt9EHhqm8jeGi_yzfIc71YPp6RctRDeI1r-XA-lPspV4bIKGeHpmYalk1PSWJ2\
     Hu8rzyP6qxOkfgGVhUQbjoFAmodZjD82zTYMdLJb7FhwXpL9yYkDkh9diZgab_z1rZVTV03ytCPOc6mAtJaWrt0uw-\
     LUhpaWFxZH5JgoIqM0hUq6p3ej6UqvlKHEiNWEvn_2o4nADHSk7Wnqx43ZHhe2LQo3vjGFRg-ScyJRebZos0tx50wQ";
    let twin = opened(KEPT).unwrap();
    assert_eq!((twin.parts.len(), twin.wires.len()), (13, 12));
    assert_eq!(twin.findings.len(), 2);
}

#[test]
fn the_primer_is_a_map_itself() {
    let primer = include_str!("primer.json");
    assert!(file::read(primer).is_ok(), "{:?}", file::read(primer));
    assert_eq!(plain::without_space(primer), primer);
}

#[test]
fn a_link_cut_anywhere_is_told_as_cut_off() {
    let letters = link(&sample()).unwrap();
    for upto in 1..letters.len() {
        assert_eq!(
            opened(&letters[..upto]),
            Err(LinkError::CutOff),
            "at {upto}"
        );
    }
    let in_address = format!(
        "https://map.example/#map={}…",
        &letters[..letters.len() / 2]
    );
    assert_eq!(opened(&in_address), Err(LinkError::CutOff));
}

#[test]
fn a_link_with_one_letter_changed_is_told_as_altered() {
    let letters = link(&sample()).unwrap();
    for at in 0..letters.len() {
        let other = if letters.as_bytes()[at] == b'A' {
            "B"
        } else {
            "A"
        };
        let altered = format!("{}{other}{}", &letters[..at], &letters[at + 1..]);
        let found = opened(&altered);
        // A letter of the length may make the link look cut off, and nothing else may be said.
        assert!(
            found == Err(LinkError::Altered) || (at < 11 && found == Err(LinkError::CutOff)),
            "at {at}: {found:?}"
        );
    }
    // Its length is among the letters that changed.
    let lower = opened(&letters.to_lowercase());
    assert!(
        matches!(lower, Err(LinkError::Altered | LinkError::CutOff)),
        "{lower:?}"
    );
    assert_eq!(opened(&format!("{letters}AAAA")), Err(LinkError::Altered));
}

#[test]
fn a_link_in_a_text_is_found_even_over_lines() {
    let harness = sample();
    let letters = link(&harness).unwrap();
    let (first, rest) = letters.split_at(76);
    for text in [
        format!("  {letters}\n"),
        format!("https://map.example/app/?x=1#map={letters}"),
        format!("Look: <https://map.example/#map={letters}>, thanks!"),
        format!("https://map.example/#map={first}\r\n{rest}\r\nThanks"),
    ] {
        assert_eq!(opened(&text).as_ref(), Ok(&harness), "{text}");
    }
    for text in [
        "",
        " ",
        "#map=",
        "see you at eight!",
        "https://map.example/",
    ] {
        let found = opened(text);
        assert!(
            matches!(found, Err(LinkError::NoMap | LinkError::CutOff)),
            "{text}: {found:?}"
        );
    }
}

#[test]
fn links_made_by_hand_go_through_the_reader_of_files() {
    let text = r#"{"format":"sparktrail-harness","version":1,"title":"<b>","parts":[]}"#;
    let found = opened(&envelope::seal(text));
    let Err(LinkError::Unreadable(errors)) = found else {
        panic!("{found:?}");
    };
    assert!(errors.to_string().contains("engine"), "{errors}");
    let found = opened(&envelope::seal("no map at all"));
    assert!(matches!(found, Err(LinkError::Unreadable(_))), "{found:?}");
    assert!(matches!(
        opened(&envelope::seal("")),
        Err(LinkError::Unreadable(_))
    ));
}

#[test]
fn a_link_that_claims_to_hold_too_much_is_not_unpacked() {
    let bomb = " ".repeat(MOST_PLAIN + 1);
    let letters = envelope::seal(&bomb);
    let bytes = MOST_PLAIN + 1;
    assert_eq!(opened(&letters), Err(LinkError::TooLarge { bytes }));
    let mut harness = sample();
    for finding in &mut harness.findings {
        finding.note = "é".repeat(19_000);
    }
    assert!(matches!(link(&harness), Err(LinkError::TooLarge { .. })));
}

#[test]
fn every_letter_a_person_may_type_comes_back() {
    let mut harness = sample();
    harness.title = "<img src=x onerror=alert(1)> \"\\\u{0}\u{7f}\u{202e}é漢🚗".into();
    harness.about = "\r\n\t{}[]:,\\\"".into();
    assert_eq!(opened(&link(&harness).unwrap()), Ok(harness));
}

// Without optimisation a link takes a second; optimised a few milliseconds.
const FEW: u32 = if cfg!(debug_assertions) { 4 } else { 200 };
const MOST_CYLINDERS: u8 = if cfg!(debug_assertions) { 6 } else { 16 };

proptest! {
    #![proptest_config(ProptestConfig::with_cases(FEW))]

    #[test]
    fn a_map_comes_back_as_it_was(seed in any::<u64>(), cylinders in 1..=MOST_CYLINDERS) {
        let harness = random_harness(seed, cylinders);
        let letters = link(&harness).unwrap();
        prop_assert_eq!(opened(&letters), Ok(harness));
    }

    #[test]
    fn any_text_comes_back(text in "\\PC{0,400}") {
        prop_assert_eq!(envelope::open(&envelope::seal(&text)), Ok(text));
    }

    #[test]
    fn any_bytes_come_back(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let packed = coder::squeeze(&bytes);
        prop_assert_eq!(coder::unsqueeze(&packed, bytes.len()), Some(bytes));
    }

    #[test]
    fn rubbish_in_a_sound_envelope_is_refused_without_a_panic(
        packed in proptest::collection::vec(any::<u8>(), 0..300),
        many in 0_usize..3_000,
    ) {
        let _ = coder::unsqueeze(&packed, many);
    }
}

proptest! {
    #[test]
    fn rubbish_is_refused_without_a_panic(text in "\\PC{0,200}", letters in "[A-Za-z0-9_-]{0,300}") {
        prop_assert!(opened(&text).is_err());
        prop_assert!(opened(&letters).is_err());
        let marked = format!("#map={letters}");
        prop_assert!(opened(&marked).is_err());
    }
}
