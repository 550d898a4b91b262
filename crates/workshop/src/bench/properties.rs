//! Whatever is typed in whatever order, the bench goes on.

use ledger::Ledger;
use proptest::prelude::*;

use super::story::Story;
use super::{Answer, Event};
use crate::kept;

/// Lines that lead on, lead back, or are wrong.
fn lines() -> impl Strategy<Value = Vec<String>> {
    let part = prop_oneof![
        Just("M10x1.5-6g"),
        Just("1/4-20 UNC-2A"),
        Just("wall 2.05 ± 0.15 mm"),
        Just("keyseat 4.0 to 4.2 mm"),
        Just("lobed 9.978 to 10.000 mm"),
        Just("crimp 1.45 ± 0.05 mm"),
        Just("soft 6.0 ± 0.3 mm"),
        Just("groove 13.69 to 13.80 mm"),
        Just("boss 3.2 mm max"),
    ];
    let on = prop_oneof![
        6 => Just(""),
        2 => Just("1"),
        1 => Just("2"),
        1 => Just("20.8"),
        1 => Just("20.8 20.6"),
        1 => Just("8.01"),
        1 => Just("AWG 18"),
        1 => Just("112 N"),
        1 => Just("fl-6"),
        1 => Just("w-0866"),
        1 => Just("mic-11"),
        1 => Just("sph-15"),
        2 => Just("10.001"),
        2 => Just("2.501"),
        2 => Just("8.929"),
        1 => Just("10.228"),
        1 => Just("0.2151in"),
        1 => Just("A. Quill"),
        2 => Just("/back"),
        2 => Just("/sign A. Quill"),
        1 => Just("/sign"),
        1 => Just("/unit"),
        1 => Just("m"),
        1 => Just("r"),
        1 => Just("r2"),
        1 => Just("e"),
        1 => Just("z"),
        1 => Just("/next"),
        1 => Just("-0"),
        1 => Just("99999999999999999"),
    ];
    let on = prop_oneof![19 => on.prop_map(str::to_owned), 1 => "\\PC{0,12}"];
    (part, prop::collection::vec(on, 0..90)).prop_map(|(part, mut lines)| {
        lines.insert(0, part.to_owned());
        lines
    })
}

#[test]
fn any_job_goes_on() {
    let folder = std::env::temp_dir().join(format!("midflank-any-{}", std::process::id()));
    let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
    proptest!(ProptestConfig::with_cases(10), |(lines in lines())| {
        let mut story = Story::begin(&ledger);
        for line in lines {
            if let Ok(Answer::NextPart(kept, _)) = story.tell(&line) {
                story.events.clear();
                story.happens(Event::Begun { keeps: Some(kept) });
            }
            let state = story.state();
            let _ = (state.inspect(), state.kept());
        }
        prop_assert_eq!(format!("{:?}", story.event_by_event()), format!("{:?}", story.state()));
        // What happened is kept as text, and read again.
        for (_, _, event) in story.events {
            let text = kept::write(kept::EVENT, &event).unwrap();
            prop_assert_eq!(kept::read::<Event>(kept::EVENT, &text).unwrap(), event);
        }
    });
    std::fs::remove_dir_all(folder).unwrap();
}
