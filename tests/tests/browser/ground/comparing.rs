//! The open map beside another: three differences, two of them taken, both undone.

use std::fs;

use sparktrail_core::edit::{Command, apply};
use sparktrail_core::model::{FactAt, FactValue, Harness, PartKind, file};
use sparktrail_core::provenance::Fact;
use sparktrail_core::share;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::{
    button, click, download_into, downloaded, empty_directory, harness_in, kept, open_example,
    sample,
};

async fn differences(page: &Page, many: usize) {
    page.until(
        &format!("{many} differences"),
        &format!("return document.querySelectorAll('.difference').length === {many}"),
    )
    .await;
}

#[test]
fn two_of_three_changes_are_taken_and_undone() {
    let ours = harness_in(&sample("white-cruiser"));
    let coil = ours
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Coil(_)));
    let coil = *coil.expect("the sample has coils").0;
    let mut theirs = ours.clone();
    let evil = "<img src=x onerror=carriedOut=1>";
    for command in [
        Command::RenamePart {
            part: coil,
            name: format!("Front coil {evil}"),
        },
        Command::SetFact {
            at: FactAt::PrimaryResistance(coil),
            fact: Some(Fact::measured(FactValue::Number(0.62))),
        },
        Command::AddPart {
            name: "Spare relay".into(),
            kind: Box::new(PartKind::Relay(sparktrail_core::model::Relay::default())),
            at: None,
        },
    ] {
        theirs = apply(&theirs, &command).expect("it fits");
    }
    let link = share::link(&theirs).expect("it fits");
    let path = empty_directory("compared").join("theirs.json");
    fs::write(&path, file::write(&theirs)).expect("the file can be written");
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            page.open("").await;
            open_example(page, "White cruiser").await;
            click(page, &button("Name, story, file")).await;
            click(page, &button("Compare with another map")).await;
            page.find("dialog[open] .paste input").await;
            page.picture("compare-choose").await;
            // A cut link says so here too.
            page.fill(
                "dialog[open] .paste input",
                &format!("#map={}", &link[..90]),
            )
            .await;
            click(page, "//dialog[@open]//button[.='Compare']").await;
            page.says("cut off").await;
            page.fill("dialog[open] .paste input", &format!("#map={link}"))
                .await;
            click(page, "//dialog[@open]//button[.='Compare']").await;
            differences(page, 3).await;
            page.picture("compare").await;
            assert_eq!(page.count(".sign-mark[data-difference=added]").await, 1);
            assert_eq!(page.count(".sign-mark[data-difference=differs]").await, 1);

            click(
                page,
                "//li[contains(., 'Spare relay')]//button[.='Take it over']",
            )
            .await;
            differences(page, 2).await;
            click(page, "//li[contains(., '0.62')]//button[.='Take theirs']").await;
            differences(page, 1).await;
            page.says(evil).await;
            let carried = page.evaluate("return typeof window.carriedOut").await;
            assert_eq!(carried, "undefined");

            // What is saved now has the two and not the third.
            let directory = empty_directory("taken");
            download_into(page, &directory).await;
            click(page, &button("Share this map")).await;
            click(page, &button("Map (.json)")).await;
            let (_, taken) = downloaded(&directory).await;
            let fact = taken.fact(FactAt::PrimaryResistance(coil));
            assert_eq!(fact, Some(Fact::measured(FactValue::Number(0.62))));
            assert_eq!(taken.parts.len(), ours.parts.len() + 1);
            assert_eq!(taken.part_name(coil), ours.part_name(coil));
            page.press(thirtyfour::Key::Escape).await;

            for left in [2, 3] {
                click(page, "//button[starts-with(@aria-label, 'Undo')]").await;
                differences(page, left).await;
            }
            click(page, &button("End comparing")).await;
            page.until("no marks", "return !document.querySelector('.sign-mark')")
                .await;

            // The same by a file.
            click(page, &button("Name, story, file")).await;
            click(page, &button("Compare with another map")).await;
            page.upload("dialog[open] input[type=file]", &path).await;
            differences(page, 3).await;
        });
    }
}

/// The maps that the browser keeps.
async fn all_kept(page: &Page) -> Vec<Harness> {
    let all = kept(page).await;
    let all = all.as_object().expect("the browser's storage");
    let maps = all
        .iter()
        .filter(|(key, _)| key.starts_with("sparktrail/1/map/"));
    maps.map(|(_, text)| file::read(text.as_str().unwrap_or_default()).expect("a map"))
        .collect()
}

/// Who sent a map and gets it back changed compares it with the own one from where it arrives; what is taken over is
/// in the own map.
#[test]
fn a_map_that_comes_back_is_compared_with_the_own_one_at_once() {
    let ours = harness_in(&sample("white-cruiser"));
    let rename = Command::RenamePart {
        part: *ours.parts.keys().next().expect("the sample has parts"),
        name: "A better name".into(),
    };
    let theirs = apply(&ours, &rename).expect("it fits");
    visit(Screen::Phone, Scheme::Light, async |page| {
        let link = |map| format!("#map={}", share::link(map).expect("it fits"));
        page.open(&link(&ours)).await;
        page.says("Someone sent you this map").await;
        assert_eq!(page.count(".sent-own").await, 0, "there is no other yet");
        click(page, &button("Look at the map")).await;
        page.says("saved").await;

        // Another address, so that the page is loaded anew.
        page.open(&format!("?again{}", link(&theirs))).await;
        page.find(".sent-own").await;
        page.picture("sent-back").await;
        let maps = all_kept(page).await;
        assert!(maps.contains(&ours) && maps.contains(&theirs));
        click(page, &button("Compare with mine")).await;
        differences(page, 1).await;
        click(page, "//li//button[.='Take theirs']").await;
        differences(page, 0).await;
        let both = "return Object.entries(localStorage).filter(([key, text]) =>
            key.startsWith('sparktrail/1/map/') && text.includes('A better name')).length === 2";
        page.until("both maps to have the name", both).await;
        let maps = all_kept(page).await;
        assert!(maps.len() == 2 && maps.iter().all(|map| *map == theirs));
    });
}
