//! Whatever befalls the browser's storage, nothing is lost.

use sparktrail_tests::browser::faults::{self, Fault, suffer};
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

#[test]
fn power_cut_while_saving() {
    each(|fault| matches!(fault, Fault::Cut(_)));
}

#[test]
fn spoilt_by_hand() {
    each(|fault| matches!(fault, Fault::Spoilt(..)));
}

#[test]
fn written_by_a_newer_program() {
    each(|fault| matches!(fault, Fault::Newer(..)));
}
