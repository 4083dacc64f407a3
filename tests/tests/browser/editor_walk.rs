//! The whole way of the editor with a finger alone on a phone, and with keys alone at a desk: an own engine, corrected,
//! undone, sent to somebody else, and compared there.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::{Value, json};
use sparktrail_core::compare::differences;
use sparktrail_core::model::{Colour, Harness, PartKind, Port, Terminal};
use sparktrail_core::share;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use thirtyfour::Key;

use super::editor::{at, command, kept, part, press, same};
use super::ground::tap;
use super::owner::Hand;

/// Counts what is done with what, in every page to come: a key in a field is one of the phone's own keyboard.
const COUNT: &str = "
globalThis.done = { mouse: 0, touch: 0, keys: 0 };
addEventListener('pointerdown', e => done[e.pointerType === 'touch' ? 'touch' : 'mouse'] += 1, true);
addEventListener('keydown', e => { if (!e.target.matches('input, textarea')) done.keys += 1; }, true);";

/// What is called so, or begins so; in the sheet that is open where there is one.
const WANTED: &str = "
const name = arguments[0];
const root = document.querySelector('dialog[open]') ?? document;
const said = e => (e.getAttribute('aria-label') ?? (e.labels?.length ? e.labels[0].innerText : e.innerText) ?? '')
  .trim().replace(/\\s+/g, ' ');
const all = [...root.querySelectorAll('button, a, summary, input, textarea, select, [role=button]')]
  .filter(e => e.checkVisibility({ visibilityProperty: true }) && !e.disabled);
const wanted = all.find(e => said(e) === name) ?? all.find(e => said(e).startsWith(name));
globalThis.wanted = wanted;
if (!wanted) return false;";

/// A place on it where a finger meets it and nothing else, with its height.
const PLACE: &str = "
const item = wanted.closest('.map-canvas .item');
if (!item) wanted.scrollIntoView({ block: 'center' });
const box = wanted.getBoundingClientRect();
for (const down of [0.5, 0.1, 0.9, 0.3, 0.7]) for (const right of [0.5, 0.1, 0.9, 0.3, 0.7]) {
  const [x, y] = [box.x + box.width * right, box.y + box.height * down];
  const met = document.elementFromPoint(x, y);
  // A glass over the map takes what touches it.
  const below = document.elementsFromPoint(x, y).find(e => e.closest('.item'))?.closest('.item');
  if (item ? below === item && !!met.closest('.map') : wanted.contains(met)) return [x, y, item ? 99 : box.height];
}
return null;";

/// Somebody with a finger, or with a keyboard.
#[derive(Clone, Copy)]
struct Person<'a> {
    page: &'a Page,
    hand: Hand,
}

impl Person<'_> {
    async fn is_there(self, name: &str) -> bool {
        let script = format!("{WANTED} return true");
        let found = self.page.evaluate_with(&script, vec![json!(name)]).await;
        found == true
    }

    /// Waits for what is called so, and gets to it: the finger touches it, the keyboard comes to stand on it.
    async fn get_to(self, name: &str) {
        let script = WANTED.replace("arguments[0]", &json!(name).to_string()) + " return true";
        self.page.until(name, &script).await;
        self.page.settle().await;
        match self.hand {
            Hand::Finger => {
                self.is_there(name).await;
                let place = self.page.evaluate(PLACE).await;
                let number = |nth: usize| {
                    let number = place[nth].as_f64();
                    number.unwrap_or_else(|| panic!("no finger gets at {name}: {place}"))
                };
                assert!(
                    number(2) >= 43.9,
                    "{name} is too small for a finger: {place}"
                );
                tap(self.page, number(0), number(1)).await;
            }
            Hand::Keys => {
                let mut met = Vec::new();
                // The map is gone through from where the keyboard was last: what lies before that is come to backward.
                let mut was_on_map = false;
                for _ in 0..300 {
                    self.is_there(name).await;
                    let here = "return document.activeElement === globalThis.wanted";
                    if self.page.evaluate(here).await == true {
                        return;
                    }
                    let map = "const on = e => !!e.closest?.('.map-canvas');
                        return [on(document.activeElement), on(globalThis.wanted)]";
                    let map = self.page.evaluate(map).await;
                    let (is_on_map, is_of_map) = (map[0] == true, map[1] == true);
                    if is_of_map && was_on_map && !is_on_map {
                        self.backward(name).await;
                        return;
                    }
                    was_on_map = is_on_map;
                    press(self.page, Key::Tab).await;
                    let at = "return document.activeElement.getAttribute('aria-label')
                        ?? document.activeElement.innerText?.slice(0, 30)";
                    met.push(self.page.evaluate(at).await);
                }
                panic!("Tab never comes to {name}: {met:?}");
            }
        }
    }

    async fn backward(self, name: &str) {
        for _ in 0..200 {
            let chain = self.page.driver().action_chain().key_down(Key::Shift);
            let chain = chain.send_keys(Key::Tab).key_up(Key::Shift);
            chain.perform().await.unwrap();
            let here = "return document.activeElement === globalThis.wanted";
            if self.page.evaluate(here).await == true {
                return;
            }
        }
        panic!("Shift and Tab never come to {name}");
    }

    /// A button, a link, a thing on the map.
    async fn press(self, name: &str) {
        self.get_to(name).await;
        if matches!(self.hand, Hand::Keys) {
            press(self.page, Key::Enter).await;
        }
    }

    /// Writes a field anew.
    async fn write(self, name: &str, text: &str) {
        self.get_to(name).await;
        self.page
            .until(
                "the field to have the keyboard",
                "return document.activeElement === wanted",
            )
            .await;
        match self.hand {
            Hand::Finger => {
                // What the phone's own menu does on a long press, and its own keyboard.
                self.page
                    .evaluate("document.activeElement.select(); return true")
                    .await;
                let text = json!({ "text": text });
                self.page.tell("Input.insertText", text).await;
            }
            Hand::Keys => {
                command(self.page, 'a').await;
                self.page.press(text).await;
            }
        }
    }

    /// The same for a field that takes what was written when one is done with it.
    async fn correct(self, name: &str, text: &str) {
        self.write(name, text).await;
        press(self.page, Key::Enter).await;
    }

    /// The entry of a list at this place, from 0.
    async fn choose(self, name: &str, place: usize) {
        self.get_to(name).await;
        match self.hand {
            // The phone's own picker, which no test reaches.
            Hand::Finger => {
                let script = "wanted.selectedIndex = arguments[0];
                    wanted.dispatchEvent(new Event('change', { bubbles: true })); return true";
                self.page.evaluate_with(script, vec![json!(place)]).await;
            }
            // Each step of the arrow key is a choice already; the keyboard has to stay on the list.
            Hand::Keys => {
                for step in 1..=place {
                    press(self.page, Key::Down).await;
                    let script = format!(
                        "return document.activeElement === wanted && wanted.selectedIndex === {step}"
                    );
                    self.page.until("the next entry", &script).await;
                }
            }
        }
    }

    /// Lets go of what is chosen.
    async fn let_go(self) {
        match self.hand {
            Hand::Finger => self.press("Put away").await,
            Hand::Keys => {
                // Out of the field first, if the keyboard is in one.
                let in_field = "return document.activeElement.matches('input, select, textarea')";
                if self.page.evaluate(in_field).await == true {
                    press(self.page, Key::Escape).await;
                    assert_eq!(self.page.evaluate(in_field).await, false);
                }
                press(self.page, Key::Escape).await;
            }
        }
        self.page
            .until(
                "nothing to be chosen",
                "return !document.querySelector('.picked-head')",
            )
            .await;
    }

    async fn undo_all(self) {
        for _ in 0..60 {
            let left = "return !document.querySelector(\"[aria-label^='Undo']\").disabled";
            if self.page.evaluate(left).await != true {
                return;
            }
            match self.hand {
                Hand::Finger => self.press("Undo").await,
                Hand::Keys => command(self.page, 'z').await,
            }
            self.page.settle().await;
        }
        panic!("undo has no end");
    }

    /// Nothing was used but what this person has.
    async fn used_only_that(self) {
        let done = self.page.evaluate("return done").await;
        let number = |name: &str| done[name].as_u64().unwrap();
        assert_eq!(number("mouse"), 0, "{done}");
        match self.hand {
            Hand::Finger => assert_eq!((number("keys"), number("touch") > 5), (0, true), "{done}"),
            Hand::Keys => assert_eq!(number("touch"), 0, "{done}"),
        }
    }

    /// Puts a new fuse on the map and joins it to the battery.
    async fn add_fuse(self) {
        self.press("Add a part").await;
        self.press("Fuse").await;
        self.press("Connect Fuse · in").await;
        self.write("Find a terminal", "battery 30").await;
        self.press("Battery · 30").await;
    }
}

fn unit(map: &Harness) -> sparktrail_core::model::PartId {
    part(map, "Control unit")
}

/// The numbers of the unit's pins.
fn pins(map: &Harness) -> Vec<String> {
    let pins = map.unit(unit(map)).unwrap().pins.iter();
    pins.map(|pin| pin.label.clone().unwrap().value).collect()
}

fn order(map: &Harness) -> Vec<u8> {
    map.engine.order.value.iter().map(|c| c.0).collect()
}

fn joins(map: &Harness, from: Terminal, to: Terminal) -> bool {
    let ends =
        |wire: &sparktrail_core::model::Wire| [wire.from, wire.to].map(|e| e.map(|f| f.value));
    let both = [Some(from), Some(to)];
    map.wires
        .values()
        .any(|wire| ends(wire) == both || ends(wire) == [both[1], both[0]])
}

/// Draws an own engine, corrects it in every way, takes all of it back, and copies the link.
async fn draw_and_send(person: Person<'_>) -> (Harness, String) {
    let page = person.page;
    person.press("My engine").await;
    person.press("Draw the map").await;
    let first = kept(page, "the map", |_| true).await;
    let old = pins(&first);

    // An own engine begins with what was found; on a phone the map has a tab of its own.
    person.press("Map").await;
    person.press("Edit the map").await;
    person.press("Control unit").await;
    for (nth, label) in old.iter().take(3).enumerate() {
        person
            .correct(&format!("Number: pin {label}"), &format!("C{nth}"))
            .await;
    }
    kept(page, "three pins", |map| {
        pins(map)[..3] == ["C0", "C1", "C2"]
    })
    .await;
    page.picture("edit-walk-pins").await;

    person.add_fuse().await;
    kept(page, "a fuse on the battery", |map| {
        map.parts.values().any(|part| part.name == "Fuse")
            && joins(
                map,
                at(map, "Fuse", Port::In),
                at(map, "Battery", Port::Plus),
            )
    })
    .await;
    page.picture("edit-walk-wire").await;

    person.let_go().await;
    person.correct("Firing order", "1 2 4 3").await;
    kept(page, "another firing order", |map| {
        order(map) == [1, 2, 4, 3]
    })
    .await;
    page.picture("edit-walk-order").await;

    person.press("Add a part").await;
    person.press("Injector").await;
    person.choose("Cylinder", 3).await;
    kept(page, "an injector of cylinder 3", |map| {
        map.parts.values().any(|part| {
            matches!(&part.kind, PartKind::Injector(injector)
                if injector.cylinder.is_some_and(|fact| fact.value.0 == 3))
        })
    })
    .await;
    page.picture("edit-walk-injector").await;

    person.press("Pin table").await;
    person.press("Paste rows").await;
    person
        .write(
            "Rows, with or without a heading",
            "unit;pin;colour;note\nControl unit;C1;VT/WH;seen",
        )
        .await;
    page.picture("edit-walk-paste").await;
    person.press("Apply one row").await;
    kept(page, "the pasted colour", |map| {
        let mut wires = map.wires.values();
        wires.any(|wire| wire.colour.is_some_and(|c| c.value.base == Colour::Violet))
    })
    .await;

    person.press("Drawing").await;
    person.undo_all().await;
    kept(page, "all as it was drawn first", |map| same(map, &first)).await;
    person.press("Done editing").await;

    let permissions = json!({ "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
    page.tell("Browser.grantPermissions", permissions).await;
    person.press("Share this map").await;
    page.find(".link-field").await;
    person.press("Copy the link").await;
    page.says("The link is copied").await;
    let link: Value = page.evaluate("return navigator.clipboard.readText()").await;
    person.used_only_that().await;
    (first, link.as_str().unwrap().to_owned())
}

/// Opens the link, changes three things, and takes two of them back from the map that was sent.
async fn open_and_compare(person: Person<'_>, sent: &Harness, link: &str) {
    let page = person.page;
    person.press("Look at the map").await;
    person.press("Edit the map").await;
    person.press("Control unit").await;
    let old = pins(sent);
    person
        .correct(&format!("Number: pin {}", old[0]), "77")
        .await;
    person.let_go().await;
    person.correct("Firing order", "1 2 4 3").await;
    person.press("Add a part").await;
    person.press("Fuse").await;
    kept(page, "three changes", |map| {
        differences(map, sent).len() == 3
    })
    .await;
    person.press("Done editing").await;

    person.press("Name, story, file").await;
    person.press("Compare with another map").await;
    person.write("Paste a link", link).await;
    page.picture("edit-walk-choose").await;
    person.press("Compare").await;
    let left =
        |many: usize| format!("return document.querySelectorAll('.difference').length === {many}");
    page.until("three differences", &left(3)).await;
    page.picture("edit-walk-compare").await;
    person.press("Let it go: ").await;
    page.until("two differences", &left(2)).await;
    person.press("Take theirs: ").await;
    page.until("one difference", &left(1)).await;
    let now = kept(page, "one change of three", |map| {
        differences(map, sent).len() == 1
    })
    .await;
    assert_eq!(now.parts.len(), sent.parts.len());
    person.press("End comparing").await;
    person.used_only_that().await;
}

fn walk(screen: Screen, hand: Hand) {
    let sent = visit(screen, Scheme::Light, async |page| {
        page.beforehand(COUNT).await;
        page.open("").await;
        draw_and_send(Person { page, hand }).await
    });
    let Some((first, link)) = sent else { return };
    assert!(share::opened(&link).is_ok_and(|opened| same(&opened, &first)));
    visit(screen, Scheme::Light, async |page| {
        page.beforehand(COUNT).await;
        let (_, letters) = link.split_once("#map=").unwrap();
        page.open(&format!("#map={letters}")).await;
        open_and_compare(Person { page, hand }, &first, &link).await;
    });
}

#[test]
fn the_whole_of_it_with_a_finger_alone() {
    walk(Screen::Phone, Hand::Finger);
}

#[test]
fn the_whole_of_it_with_keys_alone() {
    walk(Screen::Desktop, Hand::Keys);
}
