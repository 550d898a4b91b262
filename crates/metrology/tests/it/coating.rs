//! Coated threads: published rooms and notes, other flank angles, and what does not fit.

use metrology::coating::{
    Coated, CoatingError, Conflict, OtherClass, Room, State, Thickness, Tighter, coat, factor,
};
use metrology::designation::parse;
use metrology::limits::{Limits, ThreadLimits};
use metrology::units::{Angle, Length, LengthUnit};
use proptest::prelude::*;

fn limits(designation: &str) -> ThreadLimits {
    parse(designation)
        .and_then(|thread| thread.limits())
        .unwrap_or_else(|error| panic!("{designation}: {error}"))
}

fn coated(designation: &str, thickness: &str, state: Option<State>) -> Coated {
    coat(
        &limits(designation),
        Thickness::parse(thickness).unwrap(),
        state,
    )
    .unwrap()
}

fn length(text: &str, unit: LengthUnit) -> Length {
    Length::from_decimal(text.parse().unwrap(), unit).unwrap()
}

fn inch(text: &str) -> Length {
    length(text, LengthUnit::Inch)
}

fn mm(text: &str) -> Length {
    length(text, LengthUnit::Millimetre)
}

/// ASTM F1941: allowances of class 2A, of which a quarter is the thickest coating.
#[test]
fn a_quarter_of_the_published_allowance_fits() {
    for (designation, allowance) in [
        ("1/4-20 UNC-2A", "0.0011"),
        ("5/16-18 UNC-2A", "0.0012"),
        ("3/8-16 UNC-2A", "0.0013"),
        ("7/16-14 UNC-2A", "0.0014"),
        ("1/2-13 UNC-2A", "0.0015"),
        ("9/16-12 UNC-2A", "0.0016"),
        ("5/8-11 UNC-2A", "0.0016"),
        ("3/4-10 UNC-2A", "0.0018"),
        ("7/8-9 UNC-2A", "0.0019"),
        ("1-8 UNC-2A", "0.0020"),
        ("1 1/8-7 UNC-2A", "0.0022"),
        ("1 1/4-7 UNC-2A", "0.0022"),
        ("1 3/8-6 UNC-2A", "0.0024"),
        ("1 1/2-6 UNC-2A", "0.0024"),
    ] {
        let room = coated(designation, "1..2um", None).room.unwrap();
        assert_eq!(room.times(4), inch(allowance), "{designation}");
    }
}

/// Machinery's Handbook, 27th ed., p. 1776: the drawing note for 3/4-10 UNC-2A with both states.
#[test]
fn the_drawing_note_of_the_handbook() {
    let note = coated("3/4-10 UNC-2A", "0.0002in..0.0004in", None);
    assert_eq!(note.limits_hold, State::Before);
    assert_eq!(note.after.major.upper, Some(inch("0.7500")));
    assert_eq!(note.after.pitch_diameter.upper, Some(inch("0.6850")));
    assert_eq!(
        note.before.major,
        Limits::between(inch("0.7353"), inch("0.7482"))
    );
    assert_eq!(
        note.before.pitch_diameter,
        Limits::between(inch("0.6773"), inch("0.6832"))
    );
    assert!(note.conflict.is_none());
    assert_eq!(note.assumed.len(), 1, "the state was not stated");
}

/// 34 µm of allowance hold 8.5 µm of coating and no tenth of a nanometre more.
#[test]
fn m12_takes_eight_and_a_half_micrometres() {
    let thread = limits("M12x1.75-6g");
    let fits = |most: Length| {
        let thickness = Thickness {
            least: Length::from_micrometres(1),
            most,
            single: false,
        };
        coat(&thread, thickness, None).unwrap()
    };
    let room = Length::from_tenth_nanometres(85_000);
    assert_eq!(fits(room).room, Some(room));
    assert!(fits(room).conflict.is_none());
    let over = fits(room + Length::from_tenth_nanometres(1));
    assert!(over.conflict.is_some());

    let far = coated("M12x1.75-6g", "8um..10um", None);
    let Some(Conflict::NoRoom {
        needed,
        allowance,
        room,
        tighter,
        other_class,
        ..
    }) = &far.conflict
    else {
        panic!("{far:?}");
    };
    let thickness = Length::from_tenth_nanometres(85_000);
    assert_eq!(*room, Room::AtMost { thickness });
    // 10.863 less 40 µm.
    let Some(Tighter::Limits { upper, .. }) = tighter else {
        panic!("{far:?}");
    };
    assert_eq!(*upper, mm("10.823"));
    assert_eq!(
        other_class.as_ref().unwrap(),
        &OtherClass::Thread {
            designation: "M12x1.75-6f".to_owned(),
            allowance: Length::from_micrometres(48),
        }
    );
    assert_eq!((*needed, *allowance), (mm("0.040"), mm("0.034")));
}

#[test]
fn which_state_is_stated_or_taken_by_rule() {
    let state = |designation| coated(designation, "1um..2um", None).limits_hold;
    assert_eq!(state("1/4-20 UNC-2A"), State::Before);
    assert_eq!(state("1/4-20 UNC-2AG"), State::After);
    assert_eq!(state("1/4-20 UNC-3A"), State::After);
    assert_eq!(state("1/4-20 UNC-2B"), State::After);
    assert_eq!(state("M10-6g"), State::Before);
    let stated = coated("M10-6g", "5um..8um", Some(State::After));
    assert_eq!(stated.limits_hold, State::After);
    assert!(stated.assumed.is_empty());
    // Nothing fits between 6H and H: the way out is named.
    let nut = coated("M6-6H", "5um..5um", None);
    let Some(Conflict::NoRoom {
        room: Room::None,
        other_class: Some(OtherClass::Thread { designation, .. }),
        ..
    }) = nut.conflict
    else {
        panic!("{nut:?}");
    };
    assert_eq!(designation, "M6x1-6G");
}

/// One number on a Unified thread is nominal: half as much again is the most (0.00018 in fits 2A of 1/4-20, its
/// half as much again, 0.00027 in, just so).
#[test]
fn one_number_on_a_unified_thread_is_nominal() {
    let fits = coated("1/4-20 UNC-2A", "0.00018in", None);
    assert_eq!(fits.thickness.most, inch("0.00027"));
    assert!(fits.conflict.is_none());
    assert!(
        coated("1/4-20 UNC-2A", "0.00019in", None)
            .conflict
            .is_some()
    );
}

/// 2/sin of half the angle: exactly 4 at 60 degrees; 55, 47.5, 30 and 29 degrees worked by hand.
#[test]
fn any_flank_angle() {
    assert_eq!(factor(Angle::from_degrees(60.0)), 4.0);
    for (degrees, expected) in [
        (55.0, 4.33136),
        (47.5, 4.96590),
        (30.0, 7.72741),
        (29.0, 7.98786),
    ] {
        let factor = factor(Angle::from_degrees(degrees));
        assert!((factor - expected).abs() < 1e-5, "{degrees}: {factor}");
    }
}

#[test]
fn a_spread_that_eats_the_tolerance() {
    // T = 0.132 mm: a spread of 33 µm takes all of it.
    let wide = coated("M10-6g", "1um..34um", Some(State::After));
    let Some(Conflict::NoTolerance { widest, .. }) = wide.conflict else {
        panic!("{wide:?}");
    };
    assert_eq!(widest, Length::from_micrometres(33));
    assert!(
        coated("M10-6g", "1um..33um", Some(State::After))
            .conflict
            .is_none()
    );
}

/// Forms whose rule is not known ask; what has no two limits is refused. Tried on forms as they are read.
#[test]
fn other_forms_ask_which_state() {
    for designation in [
        "1/2-12 BSW medium",
        "0 BA normal",
        "1/2-10 ACME-2G",
        "G 1/2 A",
    ] {
        let Ok(thread) = parse(designation).and_then(|thread| thread.limits()) else {
            continue;
        };
        let thickness = Thickness::parse("1um..2um").unwrap();
        assert!(
            matches!(
                coat(&thread, thickness, None),
                Err(CoatingError::StateUnknown { .. })
            ),
            "{designation}"
        );
        assert!(coat(&thread, thickness, Some(State::After)).is_ok());
    }
    let mut thread = limits("M10-6g");
    thread.pitch_diameter.lower = None;
    assert!(matches!(
        coat(&thread, Thickness::parse("1um..2um").unwrap(), None),
        Err(CoatingError::NoLimits { .. })
    ));
}

proptest! {
    /// Whatever the thread and the coating: a thread made to the limits before lands within those after, with the
    /// thinnest and with the thickest coating, unless a conflict is told.
    #[test]
    fn before_and_coating_make_after(
        designation in prop::sample::select(vec![
            "M10-6g", "M12x1.75-6e", "M6-6G", "1/4-20 UNC-2A", "3/4-10 UNC-2B", "1/2-20 UNF-3A",
        ]),
        least in 0..60_000i64,
        more in 1..60_000i64,
        after in any::<bool>(),
    ) {
        let thread = limits(designation);
        let thickness = Thickness {
            least: Length::from_tenth_nanometres(least),
            most: Length::from_tenth_nanometres(least + more),
            single: false,
        };
        let state = if after { State::After } else { State::Before };
        let coated = coat(&thread, thickness, Some(state)).unwrap();
        prop_assume!(coated.conflict.is_none());
        let sign = if thread.kind == metrology::designation::Kind::External { 4 } else { -4 };
        let (before, allowed) = (coated.before.pitch_diameter, coated.after.pitch_diameter);
        for thickness in [thickness.least, thickness.most] {
            let grown = thickness.times(sign);
            prop_assert!(before.upper.unwrap() + grown <= allowed.upper.unwrap() || state == State::Before && sign < 0);
            prop_assert!(before.lower.unwrap() + grown >= allowed.lower.unwrap() || state == State::Before && sign > 0);
        }
    }
}
