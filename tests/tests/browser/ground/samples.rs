//! Each example opens drawn in full; broken in one place, its dead cylinders are those of the core.

use std::collections::BTreeMap;

use sparktrail_core::faults::{Effect, Fault, ModeKind, modes_of, refined};
use sparktrail_core::model::Harness;
use sparktrail_core::topology::Topology;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;

use super::{
    button, choose, click, drawn, find, go_home, harness_in, open_example, open_file, open_project,
    own_maps, painted_after, quoted, sample, under, unfold,
};

/// What is broken in one example.
struct Trial {
    sample: &'static str,
    /// The part that is chosen on the map.
    part: &'static str,
    /// What of it, as its panel names it.
    piece: &'static str,
    /// How, as the button says and as the core calls it.
    way: (&'static str, ModeKind),
    /// The cylinders that must die.
    ///
    /// Source: read off each file by hand: which plugs hang on the coil, or on everything.
    dead: &'static [u8],
}

const fn trial(
    sample: &'static str,
    (part, piece): (&'static str, &'static str),
    way: (&'static str, ModeKind),
    dead: &'static [u8],
) -> Trial {
    Trial {
        sample,
        part,
        piece,
        way,
        dead,
    }
}

const OPEN: (&str, ModeKind) = ("open", ModeKind::Open);
const GROUNDED: (&str, ModeKind) = ("shorted to ground", ModeKind::ToGround);
const PRIMARY: &str = "primary winding";

const TRIALS: &[Trial] = &[
    trial("barn-find", ("Coil A", PRIMARY), OPEN, &[1, 6]),
    trial("black-coupe", ("Coil C", PRIMARY), OPEN, &[3, 6]),
    trial("blue-estate", ("Coil A", PRIMARY), OPEN, &[1, 4]),
    trial(
        "green-tourer",
        ("Ignition fuse", "contact"),
        OPEN,
        &[1, 2, 3, 4, 5, 6],
    ),
    trial(
        "grey-saloon",
        ("Coil C, driver C", "transistor"),
        ("never switches on", ModeKind::NeverOn),
        &[3],
    ),
    trial("old-pickup", ("Coil B", PRIMARY), OPEN, &[2, 5]),
    trial("red-twin", ("Coil", PRIMARY), GROUNDED, &[1, 2]),
    trial("silver-limousine", ("Coil I", PRIMARY), OPEN, &[9]),
    trial("white-cruiser", ("Coil A", PRIMARY), OPEN, &[1, 6]),
    trial("yellow-van", ("Distributor", "rotor"), OPEN, &[1, 2, 3, 4]),
];

#[test]
fn every_example_is_tried() {
    let mut tried: Vec<_> = TRIALS.iter().map(|trial| sample(trial.sample)).collect();
    tried.sort();
    let all = sparktrail_tests::place::samples().expect("the samples can be listed");
    assert_eq!(tried, all);
}

#[test]
fn examples_on_the_desktop() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        for trial in TRIALS {
            trial.run(page, Screen::Desktop).await;
        }
    });
}

#[test]
fn examples_on_the_phone() {
    visit(Screen::Phone, Scheme::Dark, async |page| {
        page.open("").await;
        for trial in TRIALS {
            trial.run(page, Screen::Phone).await;
        }
    });
}

impl Trial {
    /// From the first screen, through the break and a reload, back to the first screen.
    async fn run(&self, page: &Page, screen: Screen) {
        let harness = harness_in(&sample(self.sample));
        let before = own_maps(page).await;
        open_example(page, &harness.title).await;
        everything_is_drawn(page, &harness).await;
        let as_opened = drawn(page).await;

        choose(page, screen, self.part).await;
        let heading = format!("//aside//h2[.={}]", quoted(self.part));
        find(page, &heading).await;
        click(page, &button("What if this fails?")).await;
        self.break_it(page).await;
        self.outcome_is_right(page, &harness).await;

        page.reload().await;
        let mut expected = vec![harness.title.clone()];
        expected.extend(before);
        assert_eq!(own_maps(page).await, expected, "own maps after the reload");
        open_project(page, &harness.title).await;
        assert!(
            drawn(page).await == as_opened,
            "{} looks other than before the reload",
            self.sample
        );
        go_home(page).await;
    }

    async fn break_it(&self, page: &Page) {
        unfold(page, self.piece).await;
        let way = format!("{}//button[.={}]", under(self.piece), quoted(self.way.0));
        click(page, &way).await;
    }

    /// The panel, the map's names for readers and the map's words all say what the core says.
    async fn outcome_is_right(&self, page: &Page, harness: &Harness) {
        let effect = self.effect(harness);
        let of = |verdicts: &[sparktrail_core::faults::Verdict]| -> Vec<u8> {
            verdicts.iter().map(|verdict| verdict.cylinder.0).collect()
        };
        assert_eq!(of(&effect.dead), self.dead, "{}: the core", self.sample);

        page.says("Broken for trying").await;
        let mut expected = BTreeMap::new();
        for (heading, verdicts) in [
            ("Dead", &effect.dead),
            ("Doubtful", &effect.doubtful),
            ("Still working", &effect.live),
        ] {
            if !verdicts.is_empty() {
                expected.insert(heading.to_owned(), of(verdicts));
            }
        }
        assert_eq!(told(page).await, expected, "{}: the panel", self.sample);

        for (word, verdicts) in [("dead", &effect.dead), ("doubtful", &effect.doubtful)] {
            let named = page
                .evaluate_with(
                    "return [...document.querySelectorAll('.map-canvas [role=button]')]
                       .map(e => e.getAttribute('aria-label').split(', '))
                       .filter(([, word]) => word === arguments[0])
                       .map(([cylinder]) => Number(cylinder.replace('Cylinder ', '')))
                       .sort((a, b) => a - b)",
                    vec![word.into()],
                )
                .await;
            let named: Vec<u8> = serde_json::from_value(named).expect("a list of cylinders");
            assert_eq!(named, of(verdicts), "{}: names on the map", self.sample);
            let written = page.texts(".map-canvas .cold-word").await;
            let written = written.iter().filter(|found| *found == word).count();
            assert_eq!(written, verdicts.len(), "{}: words on the map", self.sample);
        }
    }

    /// What the core says of the same fault.
    fn effect(&self, harness: &Harness) -> Effect {
        let wanted = format!("{}, {}", self.part, self.piece);
        let element = harness
            .elements()
            .into_iter()
            .find(|element| harness.element_name(*element) == wanted)
            .unwrap_or_else(|| panic!("{} has no {wanted}", self.sample));
        let mode = modes_of(harness, element)
            .into_iter()
            .find(|mode| mode.kind() == self.way.1)
            .unwrap_or_else(|| panic!("{wanted} cannot fail so"));
        refined(harness, &Topology::of(harness), Fault::new(element, mode)).effect
    }
}

/// The cylinders under each heading of the outcome, as they stand in the panel.
async fn told(page: &Page) -> BTreeMap<String, Vec<u8>> {
    let found = page
        .evaluate(
            "return Object.fromEntries([...document.querySelectorAll('.outcome .verdicts')].map(
               list => [list.querySelector('h3').innerText,
                        [...list.querySelectorAll('.disc')].map(d => Number(d.innerText))
                          .sort((a, b) => a - b)]))",
        )
        .await;
    serde_json::from_value(found).expect("lists of cylinders by their headings")
}

/// Every part, wire and cylinder of the harness stands on the map under its own name, with a
/// shape that takes up room.
async fn everything_is_drawn(page: &Page, harness: &Harness) {
    let mut wanted: BTreeMap<String, usize> = BTreeMap::new();
    let parts = harness.parts.values().map(|part| part.name.clone());
    let wires = harness.wires.keys().map(|&wire| harness.wire_name(wire));
    let cylinders = harness.engine.cylinders();
    let cylinders = cylinders
        .iter()
        .map(|cylinder| format!("Cylinder {cylinder}"));
    for name in parts.chain(wires).chain(cylinders) {
        *wanted.entry(name).or_default() += 1;
    }
    let found = page
        .evaluate(
            "const found = {};
             for (const e of document.querySelectorAll('.map-canvas [role=button]')) {
               const box = e.getBBox();
               if (box.width + box.height > 0) {
                 // How a cylinder fares, by the findings in the file, follows its name.
                 const name = e.getAttribute('aria-label').replace(/^(Cylinder \\d+), .*/, '$1');
                 found[name] = (found[name] ?? 0) + 1;
               }
             }
             return found",
        )
        .await;
    let found: BTreeMap<String, usize> = serde_json::from_value(found).expect("names and numbers");
    for (name, number) in wanted {
        let drawn = found.get(&name).copied().unwrap_or(0);
        assert_eq!(
            drawn, number,
            "{}: {name} is on the map {drawn} times",
            harness.title
        );
    }
}

/// Counts the things of the map that are taken from the page.
const GONE: &str = "
globalThis.gone = 0;
new MutationObserver(list => {
  for (const { removedNodes } of list)
    for (const node of removedNodes) if (node.classList?.contains('item')) gone += 1;
}).observe(document, { childList: true, subtree: true });";

/// A map that opens in a narrow window is not first drawn for a wide one.
#[test]
fn a_map_is_drawn_once_as_it_opens() {
    for screen in Screen::ALL {
        visit(screen, Scheme::Light, async |page| {
            page.beforehand(GONE).await;
            page.open("").await;
            let path = place::sample("blue-estate");
            painted_after(page, async || open_file(page, &path).await).await;
            assert!(page.count(".map-canvas .item").await > 20);
            assert_eq!(page.evaluate("return gone").await, 0, "{screen:?}");
        });
    }
}
