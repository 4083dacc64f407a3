//! From the page alone: what was found is entered, moves the suspects, is taken back, and is kept.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fs;
use std::sync::atomic::{AtomicU32, Ordering};

use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use sparktrail_tests::place;

/// How often the V8 sample was opened so.
static OPENED: AtomicU32 = AtomicU32::new(0);

/// Opens the V8 sample as if nothing had been found yet.
pub(super) async fn open_without_findings(page: &Page) {
    let text = fs::read_to_string(place::sample("white-cruiser")).unwrap();
    let mut map: serde_json::Value = serde_json::from_str(&text).unwrap();
    map["findings"] = serde_json::json!([]);
    let directory = place::target().join("tmp");
    fs::create_dir_all(&directory).unwrap();
    // Several tests open it side by side.
    let nth = OPENED.fetch_add(1, Ordering::Relaxed);
    let file = directory.join(format!("nothing-found-{}-{nth}.json", std::process::id()));
    fs::write(&file, map.to_string()).unwrap();
    page.open("").await;
    page.upload("input[type=file]", &file).await;
    page.find(".map-canvas").await;
    fs::remove_file(&file).unwrap();
}

/// Shares of all listed suspects whose name holds `word`, summed.
async fn share_of(page: &Page, word: &str) -> f64 {
    let script = "return [...document.querySelectorAll('.suspect')]
        .filter(s => s.querySelector('.suspect-name').textContent.includes(arguments[0]))
        .reduce((sum, s) => sum + Number(s.dataset.share), 0)";
    let found = page.evaluate_with(script, vec![word.into()]).await;
    found.as_f64().unwrap()
}

/// Waits until the share is as asked for.
async fn until_share(page: &Page, word: &str, what: &str, like: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..400 {
        let share = share_of(page, word).await;
        if like(share) {
            return share;
        }
        tokio::time::sleep(std::time::Duration::from_millis(50)).await;
    }
    panic!(
        "waited in vain for {word} to be {what}: {}",
        share_of(page, word).await
    );
}

async fn to(page: &Page, tab: &str) {
    let script = "const tab = [...document.querySelectorAll('.top .tab')]
        .find(t => t.textContent.trim().startsWith(arguments[0]));
        tab.click(); return true";
    page.evaluate_with(script, vec![tab.into()]).await;
}

/// Chooses an option by its words in the list that carries a label.
pub(super) async fn choose(page: &Page, label: &str, option: &str) {
    let script = "const field = [...document.querySelectorAll('.add-form .field')]
        .find(f => f.querySelector('span').textContent === arguments[0]);
        const list = field.querySelector('select');
        const place = [...list.options].findIndex(o => o.textContent === arguments[1]);
        if (place < 0) return false;
        list.selectedIndex = place;
        list.dispatchEvent(new Event('change', { bubbles: true }));
        return true";
    let done = page
        .evaluate_with(script, vec![label.into(), option.into()])
        .await;
    assert_eq!(done, true, "{label} has no {option}");
}

const WIRE: &str = "GN wire";

#[test]
fn findings_move_the_suspects_and_are_kept() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_without_findings(page).await;
        to(page, "Findings").await;
        for cylinder in [1, 6] {
            page.click(&format!(".cyl:nth-child({cylinder})")).await;
            page.find(&format!(".cyl:nth-child({cylinder})[data-state=dead]"))
                .await;
        }
        // That all others work is one change.
        page.click(".others").await;
        page.says("Cylinder 6 is dead.").await;
        page.says("Cylinder 8 works.").await;

        to(page, "Suspects").await;
        // What was cleared is written once somebody opens it.
        page.click(".suspects details.card > summary").await;
        page.until(
            "the verdict on all cylinders",
            "return [...document.querySelectorAll('.reason')].some(r => r.textContent.includes('Cylinder 8'))",
        )
        .await;
        let leads = page.texts(".suspect-name").await.remove(0);
        assert!(
            leads.contains("Coil A") || leads.to_lowercase().contains("driver a"),
            "{leads} is not on the path that cylinders 1 and 6 share"
        );
        let before = until_share(page, WIRE, "a suspect", |share| share > 0.005).await;

        to(page, "Findings").await;
        page.click(".add > summary").await;
        choose(page, "Red lead on", "Control unit · pin 28").await;
        choose(page, "Black lead on", "Coil A · 1").await;
        choose(page, "Was the fault there at the time?", "yes").await;
        page.fill(".add-form input[type=text]", "0,1 V").await;
        page.click(".add-form button[type=submit]").await;
        page.says("a resistance is asked for").await;
        page.fill(".add-form input[type=text]", "0,1").await;
        page.click(".add-form button[type=submit]").await;
        page.says("0.10 Ω from Control unit").await;

        to(page, "Suspects").await;
        let after = until_share(page, WIRE, "less likely", |share| share < 0.8 * before).await;

        to(page, "Findings").await;
        page.click(".found .button").await;
        page.says("taken back").await;
        to(page, "Suspects").await;
        let same = |share: f64| (share - before).abs() < 1e-5;
        until_share(page, WIRE, "as before", same).await;

        to(page, "Findings").await;
        page.click(".found .button").await;
        page.says("saved").await;
        page.until(
            "the finding to count",
            "return !document.querySelector('.found[data-state]')",
        )
        .await;
        page.until(
            "the map to be kept",
            "return document.querySelector('.saved').textContent.trim() === 'saved'",
        )
        .await;
        tokio::time::sleep(std::time::Duration::from_millis(600)).await;
        page.reload().await;
        page.click(".project .row").await;
        page.find(".map-canvas").await;
        to(page, "Findings").await;
        page.says("0.10 Ω from Control unit").await;
        to(page, "Suspects").await;
        let kept = |share: f64| (share - after).abs() < 1e-5;
        until_share(page, WIRE, "as it was kept", kept).await;

        to(page, "Next").await;
        page.says("Do this next").await;
        page.picture("next").await;
    });
}

/// Undoes or redoes; tells at the next picture what stands there of what was noted before.
async fn turn(page: &Page, redo: bool) -> serde_json::Value {
    const TURN: &str = "
const shown = () => [...document.querySelectorAll('.suspect')].map(row => row.innerText).join('|');
const [redo] = arguments, before = shown();
const rows = [...document.querySelectorAll('.suspect')], ticks = [...document.querySelectorAll('.tick')];
const second = rows[1].querySelector('summary');
second.focus();
document.body.dispatchEvent(new KeyboardEvent('keydown',
  { key: 'z', ctrlKey: true, shiftKey: redo, bubbles: true, cancelable: true }));
return new Promise(done => requestAnimationFrame(() => done({
  changed: shown() !== before,
  rows: rows.slice(0, 2).every(row => row.isConnected),
  focused: document.activeElement === second,
  ticks: ticks.filter(tick => tick.isConnected).length,
})))";
    page.evaluate_with(TURN, vec![redo.into()]).await
}

#[test]
fn a_finding_shows_with_what_it_says_and_writes_anew_only_what_it_changes() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        page.open("").await;
        page.click("[data-example=white-cruiser]").await;
        page.find(".map-canvas").await;
        to(page, "Findings").await;
        page.click(".cyl").await;
        to(page, "Suspects").await;
        page.find(".suspect").await;
        page.find(".badges .tick").await;
        page.until(
            "the plan",
            "return performance.getEntriesByName('isolation-next').length > 0",
        )
        .await;
        for redo in [false, true, false, true] {
            page.settle().await;
            let told = turn(page, redo).await;
            for what in ["changed", "rows", "focused"] {
                assert_eq!(told[what], true, "{what}: {told}");
            }
            assert!(told["ticks"].as_u64() > Some(0), "{told}");
        }
    });
}

/// What is open in Suspects.
async fn open_suspects(page: &Page) -> Vec<String> {
    let open = "return [...document.querySelectorAll('.suspect')]
        .filter(s => s.querySelector('details').open && s.querySelector('.reasons'))
        .map(s => s.querySelector('.suspect-name').textContent)";
    serde_json::from_value(page.evaluate(open).await).unwrap()
}

/// The leading suspect is open, and any other that somebody opened, wherever it stands by then.
#[test]
fn what_was_opened_stays_with_its_suspect() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_without_findings(page).await;
        to(page, "Findings").await;
        page.click(".cyl:nth-child(1)").await;
        page.click(".cyl:nth-child(6)").await;
        to(page, "Suspects").await;
        page.find(".suspect .reasons").await;
        page.settle().await;
        let names = page.texts(".suspect-name").await;
        let (leads, third) = (names[0].clone(), names[2].clone());
        assert_eq!(open_suspects(page).await, [leads.as_str()]);
        page.click(".suspect:nth-child(3) summary").await;
        page.find(".suspect:nth-child(3) .reasons").await;
        assert_eq!(open_suspects(page).await, [leads.as_str(), third.as_str()]);

        // The finding before says that the pair is dead; without it others lead.
        turn(page, false).await;
        page.settle().await;
        let now = page.texts(".suspect-name").await;
        assert_ne!(now.get(2), Some(&third), "it kept its place");
        let open = open_suspects(page).await;
        let may_be = [&now[0], &third];
        assert!(open.iter().all(|name| may_be.contains(&name)), "{open:?}");
        assert_eq!(open.contains(&third), now.contains(&third), "{open:?}");

        turn(page, true).await;
        page.settle().await;
        assert_eq!(open_suspects(page).await, [leads.as_str(), third.as_str()]);
        // Closed by hand, the leading one stays closed.
        page.click(".suspect:nth-child(1) summary").await;
        page.until(
            "the leading suspect to be closed",
            "return !document.querySelector('.suspect details').open",
        )
        .await;
        turn(page, false).await;
        turn(page, true).await;
        page.settle().await;
        assert_eq!(open_suspects(page).await, [third]);
    });
}
