//! Whatever befalls the browser's storage, nothing is lost.

use sparktrail_tests::browser::faults::{self, Fault, suffer};
use sparktrail_tests::browser::power::Flow;
use sparktrail_tests::browser::{Encoding, Served, dist};

fn each(chosen: impl Fn(&Fault) -> bool) {
    let Some(served) = Served::start(&dist(), Encoding::Plain) else {
        return;
    };
    let faults: Vec<Fault> = faults::all().into_iter().filter(chosen).collect();
    assert!(!faults.is_empty());
    for fault in faults {
        println!("{fault:?}");
        suffer(&served, fault);
    }
}

#[test]
fn no_room_no_storage_or_all_of_it_thrown_away() {
    each(|fault| matches!(fault, Fault::Full | Fault::Blocked | Fault::Emptied));
}

fn cut_in(wanted: Flow) {
    each(|fault| matches!(fault, Fault::Cut(flow, _) if *flow == wanted));
}

#[test]
fn power_cut_while_a_title_is_saved() {
    cut_in(Flow::Rename);
}

#[test]
fn power_cut_while_an_edit_is_saved() {
    cut_in(Flow::Edit);
}

#[test]
fn power_cut_while_a_link_is_opened() {
    cut_in(Flow::FromLink);
}

#[test]
fn power_cut_while_deleting_and_bringing_back() {
    cut_in(Flow::DeleteAndUndo);
}

#[test]
fn power_cut_while_a_backup_is_taken_in() {
    cut_in(Flow::Restore);
}

#[test]
fn power_cut_while_copying() {
    cut_in(Flow::Duplicate);
}

#[test]
fn spoilt_by_hand() {
    each(|fault| matches!(fault, Fault::Spoilt(..)));
}

#[test]
fn written_by_a_newer_program() {
    each(|fault| matches!(fault, Fault::Newer(..) | Fault::MoreTold));
}
