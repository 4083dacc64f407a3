//! Every job is done by keyboard alone, the keyboard's place is always in sight, and a closed sheet gives it back.

use sparktrail_tests::browser::by_keyboard::JOBS;
use sparktrail_tests::browser::{Scheme, Screen, visit};

#[test]
fn every_job_is_done_by_keyboard_alone() {
    let mut failed = Vec::new();
    for job in JOBS {
        visit(Screen::Desktop, Scheme::Light, async |page| {
            if let Err(why) = job.done(page).await {
                page.shoot(&format!("keys-{}.png", job.name)).await;
                failed.push(format!("{}: {why}", job.name));
            }
            page.forgive_troubles().await;
        });
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
