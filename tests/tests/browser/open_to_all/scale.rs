//! A map of 40 coils and a thousand terminals: opened, broken, ranked, moved. How long it takes is for `measure`.

use std::fs;

use sparktrail_core::faults::{Fault, Mode, refined};
use sparktrail_core::model::{Element, PartKind, file};
use sparktrail_core::topology::Topology;
use sparktrail_measures::large::large;
use sparktrail_tests::browser::tour::view;
use sparktrail_tests::browser::{Scheme, Screen, visit};

use super::super::ground::{empty_directory, open_file, painted_after};

#[test]
fn a_thousand_terminals_are_opened_broken_ranked_and_moved() {
    let harness = large(40).expect("there is such a map");
    let (coil, name) = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
        .map(|(&id, part)| (id, part.name.clone()))
        .expect("it has coils");
    // What the core says of that coil with its primary open: no cylinder dies where another plug goes on sparking.
    let fault = Fault::new(Element::Primary(coil), Mode::Open);
    let effect = refined(&harness, &Topology::of(&harness), fault).effect;
    let path = empty_directory("large").join("large.json");
    fs::write(&path, file::write(&harness)).expect("the file can be written");
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        painted_after(page, async || open_file(page, &path).await).await;
        let discs = page.count(".map-canvas .item.cylinder").await;
        assert_eq!(discs, 16);
        assert!(page.count(".map-canvas .item").await > 300);
        page.picture("scale-map").await;

        let script = format!(
            "document.querySelector('.map-canvas [aria-label=\"{name}\"]').focus(); return true"
        );
        page.evaluate(&script).await;
        page.press(thirtyfour::Key::Enter.value().to_string()).await;
        view(page, "What if").await;
        page.find(".ways").await;
        page.evaluate(
            "for (const d of document.querySelectorAll('.ways')) d.open = true; return true",
        )
        .await;
        let break_it = "const ways = [...document.querySelectorAll('.ways')]
            .find(w => w.querySelector('summary').innerText.includes('rimary'));
            [...ways.querySelectorAll('.way')].find(w => w.innerText === 'open').click();
            return true";
        page.evaluate(break_it).await;
        page.find(".outcome").await;
        let dead: Vec<String> = effect.dead.iter().map(|v| v.cylinder.to_string()).collect();
        let told = page
            .evaluate(
                "return document.querySelector('[data-verdict=dead]')?.dataset.cylinders ?? ''",
            )
            .await;
        assert_eq!(told, dead.join(", "));

        view(page, "Suspects").await;
        page.until(
            "suspects",
            "return document.querySelectorAll('.suspect').length > 3",
        )
        .await;
        page.picture("scale-suspects").await;
        view(page, "Map").await;
        let at = "return document.querySelector('.map-canvas > g').getAttribute('transform')";
        let before = page.evaluate(at).await;
        page.evaluate("document.querySelector('.map-canvas .item').focus(); return true")
            .await;
        page.press("+").await;
        page.press(thirtyfour::Key::Right.value().to_string()).await;
        page.until("the map to move", &format!("{at} !== {before}"))
            .await;
    });
}
