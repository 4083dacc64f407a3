//! What a screen reader is told: roles and names as Chromium hands them on, the map as lists, what has just changed.

use serde_json::{Value, json};
use sparktrail_core::model::Harness;
use sparktrail_core::topology::Topology;
use sparktrail_tests::browser::tour::view;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::super::ground::{click, harness_in, open_example, sample};

/// Every role with its name, as a reader meets them.
async fn heard(page: &Page) -> Vec<(String, String)> {
    page.tell("Accessibility.enable", json!({})).await;
    let tree = page.tell("Accessibility.getFullAXTree", json!({})).await;
    let nodes = tree["nodes"].as_array().cloned().unwrap_or_default();
    let text = |node: &Value, field: &str| {
        let said = node[field]["value"].as_str().unwrap_or_default();
        said.to_owned()
    };
    nodes
        .iter()
        .filter(|node| node["ignored"] != true)
        .map(|node| (text(node, "role"), text(node, "name")))
        .collect()
}

fn hears(all: &[(String, String)], role: &str, name: &str) {
    let found = all.iter().any(|(r, n)| r == role && n.starts_with(name));
    let same: Vec<&String> = all
        .iter()
        .filter(|(r, _)| r == role)
        .map(|(_, n)| n)
        .collect();
    assert!(found, "no {role} {name:?} among {same:?}");
}

/// Nothing that can be used is without a name.
fn all_named(place: &str, all: &[(String, String)]) {
    for role in [
        "button",
        "textbox",
        "combobox",
        "checkbox",
        "radio",
        "slider",
        "link",
        "searchbox",
    ] {
        let nameless = all.iter().filter(|(r, n)| r == role && n.trim().is_empty());
        assert_eq!(nameless.count(), 0, "{place}: a {role} has no name");
    }
}

#[test]
fn roles_and_names_are_right() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        let start = heard(page).await;
        all_named("first screen", &start);
        hears(&start, "main", "");
        hears(&start, "heading", "Look at an example");
        open_example(page, "White cruiser").await;
        page.find(".side .card").await;
        let map = heard(page).await;
        all_named("map", &map);
        for (role, name) in [
            ("main", "Map of the ignition"),
            ("complementary", "About what is shown"),
            ("navigation", "Views of this map"),
            ("heading", "White cruiser"),
            ("group", "Map of the wiring"),
            ("button", "Cylinder 1, dead"),
            ("button", "Coil A"),
            ("status", ""),
        ] {
            hears(&map, role, name);
        }
        // The drawing's own letters are not read out one by one: each thing has one name.
        assert!(
            !map.iter()
                .any(|(role, name)| role == "StaticText" && name == "28")
        );
        for place in [
            "Findings", "Suspects", "Next", "Meter", "Cycle", "Check", "What if",
        ] {
            view(page, place).await;
            page.find(".side .card").await;
            all_named(place, &heard(page).await);
        }
        page.click(".stage > .forms button:nth-child(2)").await;
        page.find("#pin-grid td").await;
        let table = heard(page).await;
        all_named("pin table", &table);
        hears(&table, "grid", "Pin table");
        hears(&table, "columnheader", "Colour");
    });
}

/// The things on each cylinder's way, as the core tells them.
fn steps(harness: &Harness) -> Vec<(String, usize)> {
    let topology = Topology::of(harness);
    let cylinders = harness.engine.cylinders();
    let one = |cylinder| {
        let way = topology.way(harness, cylinder);
        let steps = way.iter().map(|stretch| stretch.passed.len()).sum();
        (cylinder.to_string(), steps)
    };
    cylinders.into_iter().map(one).collect()
}

#[test]
fn the_map_is_told_as_lists() {
    let harness = harness_in(&sample("white-cruiser"));
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        open_example(page, "White cruiser").await;
        click(page, "//summary[.='The map in words']").await;
        for (cylinder, steps) in steps(&harness) {
            let trail = format!("[data-cylinder='{cylinder}']");
            page.click(&format!("{trail} > summary")).await;
            page.until(
                &format!("the {steps} steps of cylinder {cylinder}"),
                &format!("return document.querySelectorAll(\"{trail} .step\").length === {steps}"),
            )
            .await;
        }
        page.until(
            "the likeliest to be told with its share",
            "return [...document.querySelectorAll('.trail .step')].some(step => /\\d %/.test(step.innerText))",
        )
        .await;
        let told = page.texts(".trail").await.join("\n");
        for word in [
            "Cylinder 1, dead",
            "The feed of Coil A",
            "measured",
            "proven good",
        ] {
            assert!(told.contains(word), "{word} is not in {told}");
        }
        let all = heard(page).await;
        hears(&all, "listitem", "");
        page.picture("map-in-words").await;
    });
}

#[test]
fn what_changes_is_said() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        let said = "return document.querySelector('[data-spoken]').textContent";
        page.open("").await;
        open_example(page, "White cruiser").await;
        page.until(
            "the leading suspect and the next test to be said",
            "return /^Likeliest now: .*%\\. Next: ./.test(document.querySelector('[data-spoken]')?.textContent)",
        )
        .await;
        view(page, "What if").await;
        page.find(".group").await;
        page.evaluate("for (const group of document.querySelectorAll('.group')) group.open = true; return true")
            .await;
        click(page, "//aside//button[.='Coil A']").await;
        page.find(".way").await;
        page.click(".way").await;
        page.until(
            "the cylinders to be said",
            "return /without a spark: 1, 6/.test(document.querySelector('[data-spoken]').textContent)",
        )
        .await;
        page.click(".outcome > .button").await;
        page.until(
            "it to be said",
            &format!("{said} === 'Nothing is broken for trying.'"),
        )
        .await;
    });
}
