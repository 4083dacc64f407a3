//! Findings from the map in two taps, and findings changed after they were entered.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_core::model::{FaultThen, Finding, OhmReading, Seen, Setup, Works};
use sparktrail_core::units::{Ohms, Volts};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

use super::ground::{button, click, go_to};
use super::suspects::{choose, open_without_findings};
use super::trace::saved;
use super::walks::{tap, touch_item};

/// Counts the taps that the page gets from here on.
async fn count_taps(page: &Page) {
    page.evaluate(
        "globalThis.taps = 0;
         if (!globalThis.counting) addEventListener('pointerdown', () => taps += 1, true);
         return globalThis.counting = true",
    )
    .await;
}

async fn last(page: &Page) -> Finding {
    saved(page).await.findings.pop().unwrap()
}

#[test]
fn evidence_takes_two_taps_from_the_map() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_without_findings(page).await;
        tap(page, "Map").await;
        for (thing, seen, says) in [
            ("Cylinder 1", "dead", "Cylinder 1 is dead."),
            ("Coil A", "looks sound", "looks sound."),
            (
                "Coil A",
                "the fault stayed",
                "the fault stayed where it was.",
            ),
            ("Coil A", "the fault went away", "the fault went away."),
        ] {
            count_taps(page).await;
            let before = saved(page).await.findings.len();
            touch_item(page, &format!(".map-canvas .item[aria-label^='{thing}']")).await;
            page.says("What did you see here?").await;
            if seen == "looks sound" {
                page.picture("seen-here").await;
            }
            tap(page, seen).await;
            page.says("Entered.").await;
            assert_eq!(page.evaluate("return taps").await, json!(2), "{seen}");
            page.until(
                "the finding to be kept",
                "return document.querySelector('.saved').textContent.trim() === 'saved'",
            )
            .await;
            let map = saved(page).await;
            assert_eq!(map.findings.len(), before + 1, "{seen}");
            go_to(page, "Findings").await;
            page.says(says).await;
            go_to(page, "Map").await;
            click(page, &button("Put away")).await;
        }
    });
}

/// Who marks dead cylinders and goes on without another press has said it; what was not said of the others is
/// told where the person goes next.
#[test]
fn a_tick_counts_at_once() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_without_findings(page).await;
        go_to(page, "Findings").await;
        for cylinder in [1, 6] {
            page.click(&format!(".cyl:nth-child({cylinder})")).await;
        }
        page.says("You have said nothing of cylinders 2, 3, 4, 5, 7, 8.")
            .await;
        page.picture("ticked").await;
        go_to(page, "Next").await;
        page.says("Do this next").await;
        page.says("You have said nothing of cylinders 2, 3, 4, 5, 7, 8.")
            .await;
        go_to(page, "Suspects").await;
        page.find(".suspect .reasons").await;
        let kept = |works| move |found: &Finding| matches!(found.seen, Seen::Contribution { works: is, .. } if is == works);
        let findings = findings(page, 2).await;
        assert!(findings.iter().all(kept(Works::Dead)), "{findings:?}");

        // The others, in one tap, which one undo takes back.
        page.picture("untold").await;
        page.click(".suspects .untold .others").await;
        let now = self::findings(page, 8).await;
        assert_eq!(
            now.iter().filter(|found| kept(Works::Alive)(found)).count(),
            6
        );
        page.until(
            "the card to go",
            "return !document.querySelector('.untold')",
        )
        .await;
        page.click(".toast button:first-of-type").await;
        self::findings(page, 2).await;
        page.find(".suspects .untold").await;

        // A message whose change is no longer the last one does not offer to take another one back.
        page.click(".suspects .untold .others").await;
        self::findings(page, 8).await;
        page.find(".toast").await;
        go_to(page, "Findings").await;
        page.click(".cyl[data-state=dead]").await;
        page.settle().await;
        assert_eq!(page.count(".toast").await, 0);
    });
}

/// Who looks something up elsewhere finds the form as it was left, and nothing of it on another map.
#[test]
fn what_was_begun_is_found_again() {
    const LEFT: &str = "const add = document.querySelector('details.add');
        return [add.open, add.querySelector('input[type=text]')?.value,
            ...[...add.querySelectorAll('select')].map(list => list.selectedOptions[0].textContent)]";
    const DID: &str = "return document.querySelector('.next .closing textarea').value";
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_without_findings(page).await;
        go_to(page, "Findings").await;
        page.click(".add > summary").await;
        choose(page, "What did you do?", "Measured volts").await;
        choose(page, "Red lead on", "Control unit · pin 28").await;
        choose(page, "How the car stood", "idling").await;
        choose(page, "Was the fault there at the time?", "yes").await;
        page.fill(".add-form input[type=text]", "11.8").await;
        let left = page.evaluate(LEFT).await;
        assert_eq!(left[1], "11.8", "{left}");

        go_to(page, "Next").await;
        page.click(".next .closing > summary").await;
        page.fill(".next .closing textarea", "Plug of coil A cleaned")
            .await;
        go_to(page, "Findings").await;
        page.find(".add[open]").await;
        assert_eq!(page.evaluate(LEFT).await, left);
        page.picture("begun").await;
        choose(page, "Black lead on", "Battery · 31").await;
        page.click(".add button[type=submit]").await;
        page.says("11.80 V from Control unit · pin 28").await;
        assert_eq!(last(page).await.fault_then, FaultThen::Present);
        go_to(page, "Next").await;
        page.find(".next .closing[open]").await;
        assert_eq!(page.evaluate(DID).await, "Plug of coil A cleaned");

        open_without_findings(page).await;
        go_to(page, "Findings").await;
        assert_eq!(page.evaluate(LEFT).await[0], false);
    });
}

#[test]
fn a_reading_half_typed_waits_while_the_meter_shows_where() {
    const READ: &str = "(document.querySelector('.next .read input')?.value ?? '')";
    visit(Screen::Phone, Scheme::Light, async |page| {
        page.open("").await;
        page.click("[data-example=black-coupe]").await;
        page.find(".map-canvas").await;
        go_to(page, "Next").await;
        page.fill(".next .read input", "0.9").await;
        click(page, &button("Show on the meter")).await;
        page.until("the meter", "return !document.querySelector('.next')")
            .await;
        go_to(page, "Next").await;
        page.until("what was typed", &format!("return {READ} === '0.9'"))
            .await;
    });
}

/// The findings that are kept, once they are so many.
async fn findings(page: &Page, many: usize) -> Vec<Finding> {
    for _ in 0..200 {
        let findings = saved(page).await.findings;
        if findings.len() == many {
            return findings;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!("waited in vain for {many} findings to be kept");
}

/// What stands in a field of the form under a finding.
async fn change(page: &Page, label: &str, option: &str) {
    let script = "const field = [...document.querySelectorAll('.found .add-form .field')]
        .find(f => f.querySelector('span').textContent === arguments[0]);
        const list = field.querySelector('select');
        list.selectedIndex = [...list.options].findIndex(o => o.textContent === arguments[1]);
        list.dispatchEvent(new Event('change', { bubbles: true }));
        return list.selectedIndex >= 0";
    let done = page
        .evaluate_with(script, vec![label.into(), option.into()])
        .await;
    assert_eq!(done, true, "{label} has no {option}");
}

#[test]
fn a_finding_is_changed_after_it_was_entered() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_without_findings(page).await;
        go_to(page, "Findings").await;
        click(page, "//details[contains(@class,'add')]/summary").await;
        choose(page, "What did you do?", "Measured volts").await;
        choose(page, "Red lead on", "Control unit · pin 28").await;
        choose(page, "Black lead on", "Battery · 31").await;
        page.fill(".add > form input[type=text]", "1.02").await;
        page.click(".add button[type=submit]").await;
        page.says("1.02 V from Control unit · pin 28").await;
        let entered = last(page).await;
        assert_eq!(entered.setup, Some(Setup::key_on()));

        // What was typed stands in the field; what cannot be is told and changes nothing.
        click(page, &button("Change it")).await;
        let field = ".found .add-form input[type=text]";
        let typed = format!("return document.querySelector('{field}').value");
        assert_eq!(page.evaluate(&typed).await, "1.02");
        page.picture("finding-changed").await;
        page.fill(field, "10.2 Ω").await;
        click(page, &button("Keep the change")).await;
        page.says("a voltage is asked for").await;
        page.fill(field, "10,2").await;
        change(page, "How the car stood", "idling").await;
        change(page, "Red lead on", "Coil A · 1").await;
        change(page, "Was the fault there at the time?", "yes").await;
        click(page, &button("Keep the change")).await;
        page.says("10.20 V from Coil A · 1").await;
        let changed = last(page).await;
        assert_eq!((changed.id, changed.at), (entered.id, entered.at));
        assert_eq!(changed.fault_then, FaultThen::Present);
        assert_eq!(changed.setup, Some(Setup::idling()));
        let Seen::Volts { reading, .. } = changed.seen else {
            panic!("{changed:?}");
        };
        assert_eq!(reading, Volts::lit(10.2));

        // It is a change like any other.
        go_to(page, "Map").await;
        click(page, "//button[starts-with(@aria-label, 'Undo')]").await;
        assert_eq!(last(page).await, entered);
        click(page, "//button[starts-with(@aria-label, 'Redo')]").await;
        assert_eq!(last(page).await.seen, changed.seen);

        // A resistance can turn out to be none.
        go_to(page, "Findings").await;
        // The form is open as it was left.
        choose(page, "What did you do?", "Measured resistance").await;
        choose(page, "Red lead on", "Control unit · pin 28").await;
        choose(page, "Black lead on", "Coil A · 1").await;
        page.fill(".add > form input[type=text]", "0.1").await;
        page.click(".add button[type=submit]").await;
        page.says("0.10 Ω from Control unit").await;
        assert!(
            matches!(last(page).await.seen, Seen::Resistance { reading: OhmReading::Ohms(read), .. }
                if read == Ohms::lit(0.1))
        );
        click(page, &format!("({})[1]", button("Change it"))).await;
        page.fill(field, "OL").await;
        click(page, &button("Keep the change")).await;
        page.says("OL, no way through, from Control unit").await;
    });
}
