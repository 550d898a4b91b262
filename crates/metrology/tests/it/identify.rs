//! Identification: the look-alikes of the bench, from readings inside their tolerance bands to the right thread.

use metrology::designation::{Form, Kind, parse, standard_threads};
use metrology::identify::{
    Candidate, Evidence, EvidenceError, Expected, Identification, Miscount, Observation, Prior,
    Quantity, Ranked, Shop, candidates, identify, miscounts, pitch_from_count, turns_to_tell_apart,
    usual_uncertainty,
};

/// A shop that has said that it meets everything, so that probabilities are plain.
const MIXED: Prior = Prior::Shop(Shop::Mixed);
const LOOK_ALIKES: &str = include_str!("fixtures/look_alikes.csv");

fn seen(quantity: Quantity, value: f64, standard_uncertainty: f64) -> Observation {
    Observation {
        quantity,
        value,
        standard_uncertainty,
    }
}

fn bolt(observations: Vec<Observation>) -> Evidence {
    Evidence {
        kind: Kind::External,
        observations,
    }
}

fn named(designation: &str) -> Option<&'static Candidate> {
    // The form is known to this program once it can be read.
    parse(designation).ok()?;
    let bare = |text: &str| text.replace('#', "");
    let found = candidates(Kind::External)
        .iter()
        .find(|candidate| bare(&candidate.designation) == bare(designation));
    Some(found.unwrap_or_else(|| panic!("{designation} can be read but is no candidate")))
}

fn first(found: &Identification) -> &str {
    &found.ranked[0].candidate.designation
}

struct Row {
    pair: [&'static Candidate; 2],
    turns: String,
}

/// The rows whose forms can be read.
fn rows() -> Vec<Row> {
    let rows: Vec<_> = csv::Reader::from_reader(LOOK_ALIKES.as_bytes())
        .into_records()
        .map(Result::unwrap)
        .collect();
    assert_eq!(rows.len(), 33);
    let known: Vec<Row> = rows
        .iter()
        .filter_map(|row| {
            let pair = [named(&row[0])?, named(&row[1])?];
            for (index, candidate) in pair.iter().enumerate() {
                let cell = |column: usize| row[column + index].parse::<f64>().unwrap();
                let name = &candidate.designation;
                assert!((candidate.nominal - cell(2)).abs() < 6e-4, "{name}");
                // A G pitch is rounded to 0.001 mm before use (ISO 228-1).
                assert!((candidate.pitch - cell(4)).abs() < 6e-4, "{name}");
                assert_eq!(candidate.angle, cell(6), "{name}");
            }
            Some(Row {
                pair,
                turns: row[8].to_owned(),
            })
        })
        .collect();
    assert!(
        known.len() >= 21,
        "{} pairs are metric and Unified alone",
        known.len()
    );
    known
}

/// A place inside the band of the usual class, or the one value, moved by so many standard uncertainties.
fn reading(
    candidate: &Candidate,
    quantity: Quantity,
    u: f64,
    place: f64,
    error: f64,
) -> Observation {
    let value = match candidate.expected(quantity) {
        Expected::Value(value) => value,
        Expected::Band {
            usual: (lower, upper),
            ..
        } => lower + place * (upper - lower),
    };
    seen(quantity, value + error * u, u)
}

/// N at least 2 U(L)/ΔP, as the table has it; `never` where more than 40 turns would be needed.
///
/// M4x0.7 and #8-36: ΔP is 1/180 mm, so that 18 turns are exactly enough.
#[test]
fn turns_are_those_of_the_table() {
    for row in rows() {
        let [a, b] = row.pair;
        let turns = turns_to_tell_apart(a.pitch, b.pitch);
        let told = turns.map_or("never".to_owned(), |turns| turns.to_string());
        assert_eq!(told, row.turns, "{} / {}", a.designation, b.designation);
    }
}

/// Each of a pair, its readings anywhere in its band and off by up to one standard uncertainty: after at most three
/// pieces of advice followed it is told from every other thread.
#[test]
fn advice_leads_from_every_look_alike_to_the_thread() {
    for row in rows() {
        for truth in row.pair {
            for place in [0.1, 0.5, 0.9] {
                for error in [-1.0, 0.0, 1.0] {
                    follow(truth, place, error);
                }
            }
        }
    }
}

fn follow(truth: &Candidate, place: f64, error: f64) {
    let u = usual_uncertainty(Quantity::Major);
    let mut evidence = bolt(vec![
        reading(truth, Quantity::Major, u, place, error),
        reading(truth, Quantity::Pitch, 0.01, place, error),
    ]);
    let mut found = identify(&evidence, &MIXED).unwrap();
    for _ in 0..3 {
        if first(&found) == truth.designation && found.ranked[0].probability > 0.99 {
            break;
        }
        let Some(advice) = &found.advice else { break };
        evidence.observations.push(reading(
            truth,
            advice.quantity,
            advice.standard_uncertainty,
            place,
            error,
        ));
        found = identify(&evidence, &MIXED).unwrap();
    }
    assert_eq!(
        first(&found),
        truth.designation,
        "{place} {error} {:?}",
        evidence.observations
    );
    assert!(
        found.ranked[0].probability > 0.9 && found.fits(),
        "{} {} {place} {error} {:?}",
        truth.designation,
        found.ranked[0].probability,
        evidence.observations
    );
}

/// From the first reading on, the rival of a pair that turns can tell is never lost: it stands in the ranking or its
/// readings have ruled it out; a rival that turns cannot tell is named with what does.
#[test]
fn what_no_turns_tell_is_named_with_what_does() {
    let mut never = 0;
    for row in rows().iter().filter(|row| row.turns == "never") {
        let [a, b] = row.pair;
        for (truth, rival) in [(a, b), (b, a)] {
            let u = usual_uncertainty(Quantity::Major);
            let evidence = bolt(vec![
                reading(truth, Quantity::Major, u, 0.5, 0.0),
                reading(truth, Quantity::Pitch, 0.01, 0.5, 0.0),
            ]);
            let found = identify(&evidence, &Prior::Shop(Shop::Flat)).unwrap();
            let fits = |candidate: &Candidate| {
                found.ranked.iter().any(|ranked| {
                    ranked.candidate.designation == candidate.designation && ranked.misfit <= 3.0
                })
            };
            assert!(fits(truth));
            if !fits(rival) {
                continue;
            }
            let other = if first(&found) == rival.designation {
                truth
            } else {
                rival
            };
            let named = found
                .look_alikes
                .iter()
                .find(|named| named.designation == other.designation);
            // The first may be a third thread of the same pitch.
            if let Some(named) = named {
                assert!(
                    named.told_by.contains(&Quantity::FlankAngle)
                        || named.told_by.contains(&Quantity::Taper)
                        || truth.angle == rival.angle,
                    "{named:?}"
                );
                never += 1;
            }
            let advice = found.advice.unwrap();
            assert!(
                !matches!(advice.quantity, Quantity::Pitch),
                "{} {advice:?}",
                truth.designation
            );
        }
    }
    let expected = rows().iter().filter(|row| row.turns == "never").count();
    assert!(never >= expected, "{never} of {expected}");
}

/// A real screw is below nominal: 5.9 mm is in the middle of M6, and 6.0 mm on its edge.
#[test]
fn bands_not_nominals_are_what_counts() {
    let u = 0.01;
    // #3-56 UNF-2A: 2.393 to 2.497 mm; M2.5-6g ends at 2.480 mm, so that 2.490 mm is #3-56 alone.
    let alone = bolt(vec![
        seen(Quantity::Major, 2.490, 0.002),
        seen(Quantity::Pitch, 0.452, u),
    ]);
    let found = identify(&alone, &MIXED).unwrap();
    assert_eq!(first(&found), "3-56 UNF");
    assert!(found.ranked[0].probability > 0.8);
    let either = bolt(vec![
        seen(Quantity::Major, 2.440, 0.002),
        seen(Quantity::Pitch, 0.452, u),
    ]);
    let found = identify(&either, &MIXED).unwrap();
    assert!(found.ranked[0].probability < 0.8);
    let advice = found.advice.unwrap();
    assert_eq!((advice.quantity, advice.turns), (Quantity::Pitch, Some(29)));
}

#[test]
fn a_pitch_diameter_that_fits_nothing_is_said_to() {
    let mut evidence = bolt(vec![
        seen(Quantity::Major, 9.9, 0.01),
        seen(Quantity::Pitch, 1.5, 0.01),
        seen(Quantity::PitchDiameter, 8.93, 0.005),
    ]);
    let found = identify(&evidence, &Prior::Unstated).unwrap();
    assert!(found.fits() && found.fit_none.is_empty());
    assert_eq!(first(&found), "M10x1.5");
    // M10x1.5-6g: 8.862 to 8.994 mm.
    evidence.observations[2].value = 8.4;
    let found = identify(&evidence, &Prior::Unstated).unwrap();
    assert!(!found.fits());
    assert_eq!(found.fit_none, [Quantity::PitchDiameter]);
    // The nearest first, by its worst reading.
    assert!(found.ranked.is_sorted_by_key(|ranked| ranked.misfit));
    assert!(found.advice.is_none());
}

/// The prior makes common threads likelier, can be switched off, and gives way to readings.
#[test]
fn the_prior_is_the_shops_and_gives_way() {
    // 4.9 mm, pitch unknown: M5x0.8 before M5x0.5 only because it is common.
    let unknown = bolt(vec![seen(Quantity::Major, 4.93, 0.01)]);
    let ratio = |shop| {
        let found = identify(&unknown, &Prior::Shop(shop)).unwrap();
        probability(&found, "M5x0.8") / probability(&found, "M5x0.5")
    };
    assert!(ratio(Shop::Mixed) > 2.0 * ratio(Shop::Flat));
    let fine = bolt(vec![
        seen(Quantity::Major, 4.93, 0.01),
        seen(Quantity::Pitch, 0.5, 0.01),
    ]);
    assert_eq!(first(&identify(&fine, &Prior::Unstated).unwrap()), "M5x0.5");
    for shop in Shop::EVERY {
        let found = identify(&unknown, &Prior::Shop(*shop)).unwrap();
        let sum: f64 = found.ranked.iter().map(|ranked| ranked.probability).sum();
        assert!((sum + found.none_of_these - 1.0).abs() < 1e-9);
    }
}

fn probability(found: &Identification, designation: &str) -> f64 {
    let named = |ranked: &&Ranked| ranked.candidate.designation == designation;
    found.ranked.iter().find(named).unwrap().probability
}

/// M6x1 and 0 BA: same pitch, nearly the same diameter. As long as nobody has said which shop this is, neither is more
/// certain than in any shop, and it is the group that is.
#[test]
fn what_the_readings_do_not_part_is_one_group() {
    let either = bolt(vec![
        seen(Quantity::Major, 5.93, 0.01),
        seen(Quantity::Pitch, 1.0, 0.0025),
    ]);
    let found = identify(&either, &Prior::Unstated).unwrap();
    let group = &found.groups[0];
    let names: Vec<_> = (group.members.iter())
        .map(|member| found.ranked[*member].candidate.designation.as_str())
        .collect();
    assert_eq!(names, ["M6x1", "0 BA"]);
    assert!(group.probability > 0.99, "{}", group.probability);
    for name in names {
        let least = probability(&found, name);
        assert!(least < 0.5);
        for shop in Shop::EVERY {
            let stated = identify(&either, &Prior::Shop(*shop)).unwrap();
            assert!(least <= probability(&stated, name), "{name} {shop:?}");
        }
    }
    let metric = identify(&either, &Prior::Shop(Shop::Metric)).unwrap();
    assert!(probability(&metric, "M6x1") > 0.99);
    let records = Prior::Records(vec![(Form::Ba, 60), (Form::IsoMetric, 2)]);
    let records = identify(&either, &records).unwrap();
    assert!(probability(&records, "0 BA") > 0.9);
}

#[test]
fn a_nut_is_told_by_its_minor_diameter() {
    let nut = Evidence {
        kind: Kind::Internal,
        observations: vec![
            seen(Quantity::Minor, 5.05, 0.01),
            seen(Quantity::Pitch, 1.0, 0.01),
        ],
    };
    let found = identify(&nut, &Prior::Unstated).unwrap();
    assert_eq!(first(&found), "M6x1");
    assert!(found.fits());
}

/// No standard thread is forgotten, outside or inside, whatever forms are added.
#[test]
fn every_standard_thread_is_a_candidate_of_both_kinds() {
    let all = standard_threads().len();
    for kind in [Kind::External, Kind::Internal] {
        assert_eq!(candidates(kind).len(), all, "{kind:?}");
    }
}

/// Count over a length: L/N and u(L)/N.
#[test]
fn a_count_gives_the_pitch_and_its_uncertainty() {
    let pitch = pitch_from_count(20, 16.0, 0.025).unwrap();
    assert_eq!((pitch.value, pitch.standard_uncertainty), (0.8, 0.00125));
    assert_eq!(
        pitch_from_count(0, 16.0, 0.025),
        Err(EvidenceError::NoTurns)
    );
    assert!(matches!(
        pitch_from_count(5, 0.0, 0.025),
        Err(EvidenceError::NoLength { .. })
    ));
    assert!(pitch_from_count(5, f64::NAN, 0.025).is_err());
    assert!(pitch_from_count(u32::MAX, 1.0, 0.025).is_err());
}

#[test]
fn impossible_values_are_refused() {
    assert_eq!(
        identify(&bolt(Vec::new()), &Prior::Unstated).unwrap_err(),
        EvidenceError::Nothing
    );
    for (quantity, value, u) in [
        (Quantity::Major, 0.0, 0.01),
        (Quantity::Major, f64::NAN, 0.01),
        (Quantity::Major, 1e300, 0.01),
        (Quantity::Major, 5.0, 0.0),
        (Quantity::Major, 5.0, f64::INFINITY),
        (Quantity::Pitch, -1.0, 0.01),
        (Quantity::FlankAngle, 180.0, 1.0),
        (Quantity::Taper, 3.0, 0.01),
    ] {
        let error = identify(&bolt(vec![seen(quantity, value, u)]), &Prior::Unstated);
        assert!(error.is_err(), "{quantity:?} {value} {u}");
    }
    let swapped = bolt(vec![
        seen(Quantity::Major, 5.0, 0.01),
        seen(Quantity::PitchDiameter, 5.4, 0.01),
    ]);
    assert!(matches!(
        identify(&swapped, &Prior::Unstated),
        Err(EvidenceError::PitchDiameterTooLarge { .. })
    ));
    let units = bolt(vec![
        seen(Quantity::Major, 0.25, 0.01),
        seen(Quantity::Pitch, 1.27, 0.01),
    ]);
    assert!(identify(&units, &Prior::Unstated).is_err());
}

/// Absurd but possible evidence is answered without numbers that are none.
#[test]
fn far_from_everything_is_still_answered() {
    let odd = bolt(vec![
        seen(Quantity::Major, 1999.0, 1e-6),
        seen(Quantity::Pitch, 50.0, 1e-9),
        seen(Quantity::Taper, -0.5, 1e-9),
    ]);
    let found = identify(&odd, &Prior::Unstated).unwrap();
    assert!(!found.fits());
    assert!(found.none_of_these > 0.99);
    assert!(
        found
            .ranked
            .iter()
            .all(|ranked| (0.0..=1.0).contains(&ranked.probability))
    );
}

/// Lengths worked by hand: ten crests of a pitch of 1.5 mm span 9 x 1.5 = 13.5 mm, 21 crests of 20 per inch one inch; two starts of
/// 1.5 mm advance by 3 mm, two of 7 mm by 14 mm.
#[test]
fn a_miscounted_pitch_is_told_where_nothing_fits() {
    let crests = |crests, thread: &'static str| Some(("crests", crests, thread));
    let lead = |starts, thread: &'static str| Some(("lead", starts, thread));
    let rows = [
        (9.88, 13.5, Some(10), crests(10, "M10x1.5")),
        // Computed by hand, so that the count is not known.
        (9.88, 1.35, None, crests(10, "M10x1.5")),
        (6.3, 25.4, Some(21), crests(21, "1/4-20 UNC")),
        (9.88, 3.0, None, lead(2, "M10x1.5")),
        (39.9, 14.0, None, lead(2, "Tr40x7")),
        // A thread fits: nothing is told, whatever else it may be.
        (9.88, 13.5, Some(9), None),
        (15.9, 2.0, None, None),
        // No whole number of pitches or starts makes a thread of it.
        (9.88, 1.3, None, None),
    ];
    for (major, length, counted, expected) in rows {
        let pitch = pitch_from_count(counted.unwrap_or(1), length, 0.0025).unwrap();
        let evidence = bolt(vec![seen(Quantity::Major, major, 0.01), pitch]);
        let found = identify(&evidence, &MIXED).unwrap();
        let told = miscounts(&evidence, &found, counted);
        let first = told.first().map(|told| {
            let number = match told {
                Miscount::Crests {
                    crests, pitches, ..
                } => {
                    assert_eq!(*pitches + 1, *crests);
                    *crests
                }
                Miscount::Lead { starts, .. } => *starts,
            };
            (told.kind(), number, told.threads())
        });
        let is_expected = match (first, expected) {
            (Some((kind, number, threads)), Some((expected, so_many, thread))) => {
                (kind, number) == (expected, so_many) && threads.iter().any(|fits| fits == thread)
            }
            (first, expected) => first.is_none() && expected.is_none(),
        };
        assert!(is_expected, "{major} {length}: {told:?}");
    }
    // A pitch alone is a fraction of some other.
    let alone = bolt(vec![seen(Quantity::Pitch, 1.35, 0.001)]);
    let found = identify(&alone, &MIXED).unwrap();
    assert!(miscounts(&alone, &found, Some(10)).is_empty());
}
