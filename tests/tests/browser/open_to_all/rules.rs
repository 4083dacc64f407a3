//! axe-core finds nothing amiss on any place, in either theme, on either screen: headings come in order too.

use sparktrail_tests::browser::axe::{self, Broken, Impact};
use sparktrail_tests::browser::tour::tour;
use sparktrail_tests::browser::{Page, Scheme, Screen, visit};

/// Every rule broken at any place, as lines.
fn told(all: &[Broken]) -> String {
    let lines: Vec<String> = all.iter().map(ToString::to_string).collect();
    lines.join("\n")
}

fn nothing_amiss(scheme: Scheme) {
    let Some(program) = axe::program() else {
        return;
    };
    let mut all = Vec::new();
    for screen in Screen::ALL {
        visit(screen, scheme, async |page| {
            tour(page, async |place| {
                let broken = axe::broken(page, &program, &format!("{screen:?}, {place}")).await;
                // A mere annoyance is told too, but does not fail the test: some of it is taste.
                println!("{}", told(&broken));
                all.extend(broken);
            })
            .await;
            page.forgive_troubles().await;
        });
    }
    all.retain(|broken| broken.impact >= Impact::Moderate);
    assert!(all.is_empty(), "{}", told(&all));
}

#[test]
fn nothing_amiss_in_the_light() {
    nothing_amiss(Scheme::Light);
}

#[test]
fn nothing_amiss_in_the_dark() {
    nothing_amiss(Scheme::Dark);
}

/// A check that cannot fail proves nothing.
#[test]
fn what_is_amiss_is_seen() {
    let Some(program) = axe::program() else {
        return;
    };
    visit(Screen::Desktop, Scheme::Light, async |page: &Page| {
        page.open("").await;
        page.evaluate(
            "const bad = document.createElement('button');
             bad.className = 'icon';
             document.querySelector('main').append(bad);
             const deep = document.createElement('h4');
             deep.textContent = 'Two levels down';
             document.querySelector('h1').after(deep);
             return true",
        )
        .await;
        let broken = axe::broken(page, &program, "first screen").await;
        for (rule, impact) in [
            ("button-name", Impact::Critical),
            ("heading-order", Impact::Moderate),
        ] {
            let mut named = broken.iter();
            let named = named.any(|one| one.rule == rule && one.impact == impact);
            assert!(named, "{rule}: {}", told(&broken));
        }
    });
}
