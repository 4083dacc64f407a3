//! The pin table and the connector's face on the page: typed over, sorted, filtered, pasted, undone, copied out.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use serde_json::json;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use thirtyfour::Key;

const TABLE: &str = ".stage > .forms button:nth-child(2)";
const CONNECTOR: &str = ".stage > .forms button:nth-child(3)";
const CELLS: &str = "#pin-grid tbody td";

async fn open_table(page: &Page) {
    page.open("").await;
    page.click_text("Blue estate").await;
    page.find(".map-canvas").await;
    page.click(TABLE).await;
    page.find(CELLS).await;
}

/// The texts of one column, row by row.
async fn column(page: &Page, column: &str) -> Vec<String> {
    page.texts(&format!("#pin-grid td[data-column='{column}']"))
        .await
}

/// The whole table as text.
async fn table(page: &Page) -> Vec<String> {
    page.texts("#pin-grid tbody tr").await
}

/// The row of a pin of the control unit, from 1.
async fn row_of(page: &Page, pin: &str) -> usize {
    let pins = column(page, "pin").await;
    pins.iter().position(|p| p == pin).unwrap() + 1
}

/// The cell of a pin of the control unit.
async fn cell(page: &Page, pin: &str, column: &str) -> String {
    let row = row_of(page, pin).await;
    format!("#pin-grid tbody tr:nth-child({row}) td[data-column='{column}']")
}

/// Types over a cell with mouse and keyboard, as at a desk.
async fn retype(page: &Page, pin: &str, column: &str, text: &str) {
    let cell = cell(page, pin, column).await;
    page.click(&cell).await;
    // A tap on the cell that the keyboard stands on begins by itself.
    if page.count("#pin-field").await == 0 {
        page.press(Key::Enter.value().to_string()).await;
    }
    page.find("#pin-field").await;
    page.until(
        "the field to have the keyboard",
        "return document.activeElement.id === 'pin-field'",
    )
    .await;
    page.press(format!("{text}{}", Key::Enter.value())).await;
}

async fn cell_says(page: &Page, pin: &str, column: &str, text: &str) {
    let cell = cell(page, pin, column).await;
    let script = format!(
        "return document.querySelector({}).innerText.trim() === {}",
        json!(cell),
        json!(text)
    );
    page.until(&format!("{column} of {pin} to say {text}"), &script)
        .await;
}

async fn undo_all(page: &Page) {
    for _ in 0..60 {
        let left = "return !document.querySelector(\"[aria-label^='Undo']\").disabled";
        if page.evaluate(left).await != true {
            return;
        }
        page.click("[aria-label^='Undo']").await;
    }
    panic!("undo has no end");
}

#[test]
fn a_colour_is_typed_over_and_undone() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_table(page).await;
        let before = table(page).await;
        cell_says(page, "2", "colour", "BN").await;
        retype(page, "2", "colour", "bu/wh").await;
        cell_says(page, "2", "colour", "BU/WH").await;
        // What cannot be is told, and stays in the field to be mended.
        retype(page, "3", "colour", "XX").await;
        page.says("“XX” is no colour known here").await;
        page.says("base first, then a stroke and the stripe").await;
        page.press(Key::Escape.value().to_string()).await;
        cell_says(page, "3", "colour", "YE").await;
        // By keyboard alone: the colour lies under the one above, the far end three to the right.
        page.press(Key::Down.value().to_string()).await;
        let right = Key::Right.value();
        page.press(format!("{right}{right}{right}")).await;
        let here = page
            .evaluate("return document.querySelector('[data-here]').dataset.column")
            .await;
        assert_eq!(here, "goes-to");
        page.press(format!("coil b 15{}", Key::Enter.value())).await;
        cell_says(page, "16", "goes-to", "Coil B · 15").await;
        page.picture("table").await;
        undo_all(page).await;
        assert_eq!(table(page).await, before);
    });
}

#[test]
fn rows_are_sorted_and_filtered() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_table(page).await;
        let all = table(page).await;
        page.click("#pin-grid th:first-child button").await;
        let pins = column(page, "pin").await;
        let numbers: Vec<u32> = pins.iter().map_while(|pin| pin.parse().ok()).collect();
        assert!(numbers.len() > 8 && numbers.is_sorted(), "{pins:?}");
        page.click("#pin-grid th:first-child button").await;
        assert_eq!(table(page).await.len(), all.len());
        page.type_into("input[type='search']", "coil a").await;
        page.says(&format!("2 of {} rows", all.len())).await;
        let left = table(page).await;
        assert!(left.iter().all(|row| row.contains("Coil A")), "{left:?}");
        page.fill("input[type='search']", "nothing like it").await;
        page.says("No row has that").await;
    });
}

const PASTED: &str = "Pin\tWire colour\tSize\tLength (cm)\tGoes to\tWhat\n\
     2\tBN/GN\t2.5\t100\tBody ground\tunit ground\n\
     3\tXX\t1\t150\tInjector 1 control\tinjector\n\
     16\tYE/WH\t1\t180\tInjector 7\tinjector\n\
     17\tYE/BK\t1\t115\tInjector 3 control\tinjector\n\
     50\tGY\t0.5\t80\tSupply splice\tspare feed\n";

async fn paste(page: &Page, text: &str) {
    page.click(".pin-acts button:first-child").await;
    page.click(".pin-paste textarea").await;
    put(page, text).await;
}

/// Into the field, as the clipboard puts it there: all at once.
async fn put(page: &Page, text: &str) {
    page.evaluate_with(
        "const field = document.querySelector('.pin-paste textarea');
         field.value = arguments[0];
         field.dispatchEvent(new Event('input', { bubbles: true }));",
        vec![json!(text)],
    )
    .await;
}

#[test]
fn a_pasted_table_is_shown_applied_and_undone() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_table(page).await;
        let before = table(page).await;
        paste(page, PASTED).await;
        page.says("What the columns hold").await;
        let guess = page
            .evaluate(
                "return [...document.querySelectorAll('.pin-guess th select')]\
                 .map(list => list.selectedOptions[0].textContent)",
            )
            .await;
        assert_eq!(
            guess,
            json!([
                "Pin",
                "Colour",
                "Size, mm² or AWG",
                "Length, cm",
                "Goes to",
                "Note"
            ])
        );
        page.says("2 rows are wrong").await;
        page.says("Line 3, column 2 “XX” is no colour known here.")
            .await;
        page.says("Line 4, column 5 The map has no terminal “Injector 7”")
            .await;
        page.says("Apply 3 rows, leave 2 out").await;
        assert_eq!(page.count(".toast").await, 0);
        page.picture("table-paste").await;
        // The guess is changed: the last column is left out.
        page.evaluate(
            "const list = document.querySelector('.pin-guess th:last-child select');
             list.selectedIndex = list.options.length - 1;
             list.dispatchEvent(new Event('change', { bubbles: true }));",
        )
        .await;
        page.until(
            "the notes to be left out",
            "return !document.querySelector('.pin-changes').innerText.includes('Note:')",
        )
        .await;
        page.click_text("Apply 3 rows").await;
        page.says("3 rows applied, 2 left out.").await;
        cell_says(page, "2", "colour", "BN/GN").await;
        cell_says(page, "50", "goes-to", "Supply splice").await;
        cell_says(page, "3", "colour", "YE").await;
        // One step back undoes the whole table.
        page.click("[aria-label^='Undo']").await;
        page.until(
            "the old rows",
            &format!(
                "return document.querySelectorAll('#pin-grid tbody tr').length === {}",
                before.len()
            ),
        )
        .await;
        assert_eq!(table(page).await, before);
        undo_all(page).await;
    });
}

#[test]
fn what_cannot_be_read_changes_nothing() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_table(page).await;
        let before = table(page).await;
        paste(page, "Pin,Colour\n1,\"VT\n2,BN\n").await;
        page.says("A double quote opens on line 2 and is never closed")
            .await;
        put(page, "<img src=x onerror=alert(1)>\t<b>1</b>\n").await;
        page.says("Nothing to apply").await;
        assert_eq!(page.count(".pin-guess img, .pin-guess b").await, 0);
        page.click_text("Cancel").await;
        assert_eq!(table(page).await, before);
    });
}

#[test]
fn rows_copied_out_paste_back_as_they_are() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_table(page).await;
        let permissions =
            json!({ "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
        page.tell("Browser.grantPermissions", permissions).await;
        page.click_text("Copy rows").await;
        page.says("rows copied").await;
        let text = page.evaluate("return navigator.clipboard.readText()").await;
        let text = text.as_str().unwrap();
        let mut lines = text.lines();
        assert_eq!(
            lines.next(),
            Some("Unit\tPin\tColour\tSize, mm² or AWG\tLength, m\tGoes to\tKnown\tNote")
        );
        assert_eq!(lines.count(), table(page).await.len());
        paste(page, text).await;
        page.says("say what it says already").await;
        page.says("Nothing to apply").await;
    });
}

#[test]
fn a_cavity_picks_its_pin_on_the_map_and_in_the_table() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        open_table(page).await;
        page.click(CONNECTOR).await;
        page.says("You look at the back of the plug, where the wires go in.")
            .await;
        page.says("Nobody has said yet how many rows this plug has")
            .await;
        let first = ".face tr:first-child td:first-child .cavity";
        assert_eq!(page.text(first).await.replace('\n', " "), "1 VT Coil A · 1");
        page.click(first).await;
        page.says("pin 1").await;
        page.picture("face").await;
        page.click_text("mating side").await;
        page.says("Mirrored").await;
        let last = ".face tr:first-child td:last-child .cavity-number";
        assert_eq!(page.text(last).await, "1");
        page.click_text("wire side").await;
        // Another shape, kept with the map and taken back like any change.
        let rows = ".face-shape input";
        page.click(rows).await;
        page.evaluate_with(
            "document.querySelector(arguments[0]).select()",
            vec![json!(rows)],
        )
        .await;
        page.press(format!("2{}", Key::Tab.value())).await;
        page.until(
            "two rows",
            "return document.querySelectorAll('.face tr').length === 2",
        )
        .await;
        page.click(TABLE).await;
        let row = row_of(page, "1").await;
        let selected = format!(
            "return document.querySelector('#pin-grid tbody tr:nth-child({row})')\
             .getAttribute('aria-selected') === 'true'"
        );
        page.until("the row of the pin to be picked", &selected)
            .await;
        page.click("[aria-label^='Undo']").await;
        page.click(CONNECTOR).await;
        page.until(
            "three rows again",
            "return document.querySelectorAll('.face tr').length === 3",
        )
        .await;
    });
}

#[test]
fn a_phone_has_room_for_the_table() {
    visit(Screen::Phone, Scheme::Light, async |page| {
        open_table(page).await;
        let wide = page
            .evaluate("return document.documentElement.scrollWidth <= innerWidth")
            .await;
        assert_eq!(
            wide, true,
            "the page does not scroll sideways; the table does"
        );
        let heights = page
            .evaluate(
                "return [...document.querySelectorAll('#pin-grid td, .pin-tools button, .stage > .forms button')]\
                 .every(cell => cell.getBoundingClientRect().height >= 43.5)",
            )
            .await;
        assert_eq!(heights, true);
        let colour = cell(page, "2", "colour").await;
        page.click(&colour).await;
        page.click(&colour).await;
        page.find("#pin-field").await;
        page.click_text("GN").await;
        page.click_text("WH").await;
        page.press(Key::Enter.value().to_string()).await;
        // The field held BN: green becomes its stripe, white begins anew.
        cell_says(page, "2", "colour", "WH").await;
        page.picture("table").await;
        paste(page, PASTED).await;
        page.says("2 rows are wrong").await;
        page.picture("table-paste").await;
        page.click_text("Cancel").await;
        page.click(CONNECTOR).await;
        page.find(".face .cavity").await;
        page.picture("face").await;
    });
}
