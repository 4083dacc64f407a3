//! My engine: few clicks, the keyboard alone, and arrangements that such an engine cannot have.

use sparktrail_tests::browser::own_engine::{Effort, draw_v8_with_two_dead, effort};
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};
use thirtyfour::Key;

use super::ground::{button, click, find, go_home, open_project, own_maps, painted_after};

/// The most clicks that the way to a V8 with two dead cylinders may take.
const MOST_CLICKS: u64 = 8;

async fn press(page: &Page, key: Key) {
    page.press(key.value().to_string()).await;
}

/// Tab, and again, until the keyboard is on what has this name for readers.
async fn tab_to(page: &Page, name: &str) {
    for _ in 0..80 {
        press(page, Key::Tab).await;
        let here = page
            .evaluate(
                "const e = document.activeElement;
                 return e.getAttribute('aria-label')
                   ?? (e.closest('label, fieldset') ?? e).innerText.trim().split('\\n')[0]",
            )
            .await;
        if here == name {
            return;
        }
    }
    panic!("Tab never comes to {name}");
}

async fn choose(page: &Page, question: &str, answer: &str) {
    let path = format!("//fieldset[legend='{question}']//label[.//*[.='{answer}']]");
    click(page, &path).await;
}

async fn begin(page: &Page) {
    page.open("").await;
    click(page, &button("My engine")).await;
    find(page, "//h1[.='My engine']").await;
}

#[test]
fn a_v8_with_two_dead_cylinders_takes_few_clicks_and_no_typing() {
    for (screen, scheme) in [
        (Screen::Phone, Scheme::Dark),
        (Screen::Desktop, Scheme::Light),
    ] {
        visit(screen, scheme, async |page| {
            let took = draw_v8_with_two_dead(page).await;
            assert!(took.clicks <= MOST_CLICKS, "{took:?}");
            assert_eq!(took.keys, 0, "something had to be typed");

            // The map is whole, the dead are cold, the first test is there.
            assert_eq!(page.text("h1").await, "My V8");
            let cylinders =
                "return [...document.querySelectorAll('.map-canvas [aria-label^=Cylinder]')]
                .map(e => e.getAttribute('aria-label')).sort().join('; ')";
            let found = page.evaluate(cylinders).await;
            let dead: Vec<&str> = found
                .as_str()
                .unwrap_or_default()
                .split("; ")
                .filter(|name| name.contains("dead"))
                .collect();
            assert_eq!(dead, ["Cylinder 1, dead", "Cylinder 6, dead"]);
            assert_eq!(page.count(".map-canvas [aria-label^='Cylinder ']").await, 8);
            page.says("Do this next").await;
            page.picture("own-v8").await;

            // One step back takes the marks away and leaves the map; one forward brings them back.
            page.evaluate("document.querySelector('.tools button').click(); return true")
                .await;
            page.until(
                "the dead to be forgotten",
                "return !document.querySelector('.map-canvas [aria-label$=dead]')",
            )
            .await;
            assert_eq!(page.count(".map-canvas [aria-label^='Cylinder ']").await, 8);
            page.evaluate("document.querySelectorAll('.tools button')[1].click(); return true")
                .await;
            page.until(
                "the dead to be back",
                "return document.querySelectorAll('.map-canvas [aria-label$=dead]').length === 2",
            )
            .await;

            // It is a project like any other.
            go_home(page).await;
            assert_eq!(own_maps(page).await, ["My V8"]);
            page.reload().await;
            open_project(page, "My V8").await;
        });
    }
}

#[test]
fn the_same_with_the_keyboard_alone() {
    visit(Screen::Desktop, Scheme::Dark, async |page| {
        page.open("").await;
        page.evaluate(
            "globalThis.pressed = { pointer: 0, keys: 0 };
             addEventListener('pointerdown', () => pressed.pointer += 1, true);
             return true",
        )
        .await;
        tab_to(page, "My engine").await;
        press(page, Key::Enter).await;
        find(page, "//h1[.='My engine']").await;
        // The choice that stands is where Tab comes to: four cylinders; right to five, six, eight.
        tab_to(page, "4").await;
        for _ in 0..3 {
            press(page, Key::Right).await;
        }
        for cylinder in ["Cylinder 1 is dead", "Cylinder 6 is dead"] {
            tab_to(page, cylinder).await;
            page.press(" ").await;
        }
        tab_to(page, "Draw the map").await;
        painted_after(page, async || press(page, Key::Enter).await).await;
        assert_eq!(page.text("h1").await, "My V8");
        assert_eq!(page.count(".map-canvas [aria-label$=dead]").await, 2);
        let Effort { clicks, .. } = effort(page).await;
        assert_eq!(clicks, 0);
    });
}

#[test]
fn what_such_an_engine_cannot_have_is_refused_with_its_reason() {
    for (screen, scheme) in [
        (Screen::Desktop, Scheme::Light),
        (Screen::Phone, Scheme::Light),
    ] {
        visit(screen, scheme, async |page| {
            begin(page).await;
            choose(page, "How many cylinders?", "5").await;
            page.says("Not on this engine: no double-ended coil can serve cylinder")
                .await;
            choose(
                page,
                "How are the coils arranged?",
                "One coil for each two cylinders",
            )
            .await;
            let refused = find(
                page,
                "//*[@role='status'][contains(., 'No double-ended coil')]",
            )
            .await;
            let said = refused.text().await.unwrap_or_default();
            assert!(
                said.contains("one coil a cylinder or a distributor will do"),
                "{said}"
            );
            let draw = find(page, &button("Draw the map")).await;
            assert!(!draw.is_enabled().await.unwrap_or(true), "{said}");
            page.picture("own-refused").await;

            // A firing order that is none, and one that is.
            choose(
                page,
                "How are the coils arranged?",
                "One coil on each cylinder",
            )
            .await;
            let order = "input[maxlength='120'][type=text]";
            page.fill(order, "1-2-4-5").await;
            page.says("Not in it yet: cylinder 3.").await;
            assert_eq!(page.count("[aria-invalid=true]").await, 1);
            page.fill(order, "1 3 5 4 2").await;
            page.until(
                "the order to be taken",
                "return !document.querySelector('[aria-invalid]')",
            )
            .await;
            painted_after(page, async || click(page, &button("Draw the map")).await).await;
            assert_eq!(page.text("h1").await, "My inline 5");
            page.says("Which cylinders are dead?").await;
        });
    }
}

/// Everything behind the fold, on an uneven six with a pack on each row.
#[test]
fn an_odd_fire_six_with_a_pack_on_each_row() {
    visit(Screen::Desktop, Scheme::Light, async |page| {
        begin(page).await;
        choose(page, "How many cylinders?", "6").await;
        click(page, "//summary[starts-with(., 'Name, packs')]").await;
        page.fill(".engine-more input[type=text]", "Grandad's six")
            .await;
        let pick =
            |label: &str, option: &str| format!("//label[span='{label}']//option[.='{option}']");
        click(page, &pick("It fires", "Unevenly (odd-fire)")).await;
        let angles = "return [...document.querySelectorAll('.engine-angles input')].map(e => e.value).join(' ')";
        page.until("angles", &format!("{angles} === '0 90 240 330 480 570'"))
            .await;
        click(
            page,
            &pick("Coil packs", "A pack on each row, for the opposite row"),
        )
        .await;
        // Odd numbers stand at the left, so the pack there feeds the even ones.
        painted_after(page, async || click(page, &button("Draw the map")).await).await;
        assert_eq!(page.text("h1").await, "Grandad's six");
        for name in ["Left row pack plug", "Right row pack plug"] {
            let path = format!("//*[name()='svg']//*[@role='button' and @aria-label='{name}']");
            find(page, &path).await;
        }
        page.picture("own-odd-fire").await;
    });
}

/// Who comes back, by the browser's Back too, finds the answers; all can be taken back at once.
#[test]
fn the_answers_are_there_again() {
    const ANSWERED: &str = "const at = (of) => [...document.querySelectorAll(of)]
           .filter((e) => e.checked || e.getAttribute('aria-pressed') === 'true')
           .map((e) => e.getAttribute('aria-label') ?? e.parentElement.innerText.trim());
        return [at('[name=cylinders]'), at('.engine-form .cyl')]";
    let clear = button("Clear all answers");
    visit(Screen::Phone, Scheme::Light, async |page| {
        begin(page).await;
        let fresh = page.evaluate(ANSWERED).await;
        assert_eq!(page.count(".engine-clear").await, 0, "nothing was answered");
        choose(page, "How many cylinders?", "8").await;
        page.click("[aria-label='Cylinder 6 is dead']").await;
        let given = page.evaluate(ANSWERED).await;
        assert_ne!(given, fresh);

        page.evaluate("history.back(); return true").await;
        click(page, &button("My engine")).await;
        assert_eq!(page.evaluate(ANSWERED).await, given);
        page.picture("own-again").await;

        // Nor does the map that was drawn take them away.
        click(page, &button("Draw the map")).await;
        page.find(".map-canvas").await;
        go_home(page).await;
        click(page, &button("My engine")).await;
        assert_eq!(page.evaluate(ANSWERED).await, given);

        click(page, &clear).await;
        page.until(
            "the proposals",
            "return !document.querySelector('.engine-clear')",
        )
        .await;
        assert_eq!(page.evaluate(ANSWERED).await, fresh);
        let here = page.evaluate("return document.activeElement.id").await;
        assert_eq!(here, "my-engine");
    });
}
