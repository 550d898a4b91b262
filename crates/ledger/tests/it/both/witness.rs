//! A line kept outside the ledger shows what the file alone cannot.

use ledger::{FaultKind, Ledger, Place, Recomputed, VerifyOptions, VerifyReport, Witness};

use super::{Folder, SET_ISSUED, tamper};
use crate::books::{draft, has, six, verify};

fn held_against(ledger: &Ledger, witness: Witness) -> VerifyReport {
    let options = VerifyOptions {
        witness: Some(witness),
        ..VerifyOptions::default()
    };
    ledger::verify(ledger, &options, |_| Recomputed::Same).unwrap()
}

#[test]
fn a_witness_holds_while_the_ledger_grows() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    assert_eq!(Ledger::open(&path).unwrap().witness().unwrap(), None);
    six(&path);
    let ledger = Ledger::open(&path).unwrap();
    let witness = ledger.witness().unwrap().unwrap();
    assert_eq!(
        (witness.count, Some(witness.mark())),
        (6, ledger.head().unwrap())
    );
    let line: Witness = witness.to_string().parse().unwrap();
    assert_eq!(line, witness);
    for part in 7..10 {
        assert!(held_against(&ledger, witness).is_sound());
        ledger
            .append(&draft(&format!("A-{part}"), "mic-04"))
            .unwrap();
    }
    assert!(held_against(&ledger, witness).is_sound());
}

/// Cut off with care, the count of entries along with them.
fn cut() -> String {
    format!(
        "{SET_ISSUED} DELETE FROM subject WHERE sequence > 4; DELETE FROM entry WHERE sequence > 4"
    )
}

#[test]
fn a_tail_cut_off_with_care_is_found_by_the_witness_alone() {
    let folder = Folder::new();
    let path = folder.ledger("l.db");
    six(&path);
    let witness = Ledger::open(&path).unwrap().witness().unwrap().unwrap();
    tamper(&path, &cut());
    let ledger = Ledger::open(&path).unwrap();
    assert!(verify(&ledger).is_sound(), "sound in itself");
    let report = held_against(&ledger, witness);
    assert!(!report.is_sound());
    assert_eq!(report.faults.len(), 1);
    let kind = FaultKind::WitnessMissing {
        witness,
        found: None,
    };
    assert_eq!(report.faults[0].kind, kind);
    assert_eq!(report.faults[0].place, Place::File);
    // Others recorded in their place.
    for part in 5..=7 {
        ledger
            .append(&draft(&format!("B-{part}"), "mic-04"))
            .unwrap();
    }
    let report = held_against(&ledger, witness);
    assert!(has(&report, None, |kind| matches!(
        kind,
        FaultKind::WitnessMissing { found: Some(found), .. } if *found != witness.hash
    )));
}
