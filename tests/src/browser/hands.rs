//! Two hands on a keyboard: they press keys and see where the keyboard is, and nothing else.

use serde_json::json;
use thirtyfour::Key;

use super::Page;

/// What the keyboard is on, an expression: its name for readers, the words of its label, or its text.
const NAME: &str = "(() => {
  const e = document.activeElement;
  if (e === document.body) return '';
  const said = e.getAttribute('aria-label') ?? (e.labels?.length ? e.labels[0].innerText : e.innerText) ?? '';
  return said.trim().replace(/\\s+/g, ' ');
})()";

/// Whether somebody sees where the keyboard is: a ring about it or about what holds it.
const RING: &str = "
let seen = document.activeElement === document.body;
for (let e = document.activeElement, up = 0; e && up < 4; e = e.parentElement, up += 1) {
  const style = getComputedStyle(e);
  seen ||= style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0;
}
const halo = document.activeElement.querySelector?.(':scope > .halo');
seen ||= !!halo && getComputedStyle(halo).stroke !== 'none';
const e = document.activeElement;
return seen ? '' : e.outerHTML.slice(0, 160)";

/// Two hands on a keyboard.
#[derive(Clone, Copy)]
pub(super) struct Hands<'a> {
    pub(super) page: &'a Page,
}

impl Hands<'_> {
    pub(super) async fn press(self, key: Key) {
        self.page.press(key.value().to_string()).await;
    }

    pub(super) async fn type_text(self, text: &str) {
        self.page.press(text).await;
    }

    pub(super) async fn command(self, letter: char) {
        let chain = self.page.driver().action_chain().key_down(Key::Control);
        let chain = chain.send_keys(letter.to_string()).key_up(Key::Control);
        chain
            .perform()
            .await
            .unwrap_or_else(|error| panic!("{error}"));
    }

    pub(super) async fn at(self) -> String {
        let name = self.page.evaluate(&format!("return {NAME}")).await;
        name.as_str().unwrap_or_default().to_owned()
    }

    /// Tab, and again, until a script says that this is it.
    pub(super) async fn tab(self, what: &str, is_it: &str) {
        let mut met = Vec::new();
        for _ in 0..260 {
            self.press(Key::Tab).await;
            let ring = self.page.evaluate(RING).await;
            assert_eq!(ring, "", "nobody sees that the keyboard is on it");
            if self.page.evaluate(is_it).await == true {
                return;
            }
            met.push(self.at().await);
        }
        panic!("Tab never comes to {what}: {met:?}");
    }

    /// On to what is called so, or begins so.
    pub(super) async fn to(self, name: &str) {
        let is_it = format!("return {NAME}.startsWith({})", json!(name));
        self.tab(name, &is_it).await;
    }

    /// On to the first that a selector fits.
    pub(super) async fn to_css(self, css: &str) {
        let is_it = format!("return document.activeElement.matches({})", json!(css));
        self.tab(css, &is_it).await;
    }

    /// On to what is called so, and Enter.
    pub(super) async fn choose(self, name: &str) {
        self.to(name).await;
        self.press(Key::Enter).await;
    }

    pub(super) async fn choose_css(self, css: &str) {
        self.to_css(css).await;
        self.press(Key::Enter).await;
    }

    pub(super) async fn until(self, what: &str, script: &str) {
        self.page.until(what, script).await;
    }

    pub(super) async fn shows(self, css: &str) {
        let script = format!(
            "return [...document.querySelectorAll({})].some(e => e.checkVisibility())",
            json!(css)
        );
        self.until(css, &script).await;
    }

    pub(super) async fn number(self, script: &str) -> i64 {
        let number = self.page.evaluate(script).await;
        number
            .as_i64()
            .unwrap_or_else(|| panic!("{script}: {number}"))
    }

    /// Opens the smallest example.
    pub(super) async fn twin(self) {
        self.example("Red twin").await;
    }

    pub(super) async fn example(self, title: &str) {
        // The card's text begins with the number of cylinders.
        let is_it = format!(
            "return !!document.activeElement.matches('.example') && document.activeElement.innerText.includes({})",
            json!(title)
        );
        self.tab(title, &is_it).await;
        self.press(Key::Enter).await;
        self.until(
            "the map",
            "return performance.getEntriesByName('first-map').length > 0",
        )
        .await;
        self.shows(".side .card, .side .hint").await;
    }

    /// Esc closes the sheet, and the keyboard is back where it was opened from.
    pub(super) async fn close_sheet(self, back_on: &str) {
        self.press(Key::Escape).await;
        self.until(
            "the sheet to close",
            "return !document.querySelector('dialog[open]')",
        )
        .await;
        let at = self.at().await;
        assert!(
            at.starts_with(back_on),
            "the keyboard is on {at:?}, not on {back_on:?}"
        );
    }
}
