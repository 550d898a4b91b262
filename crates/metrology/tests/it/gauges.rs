//! Limit gauges: worked examples to the last digit, and what their standards say about where gauges lie.

use metrology::designation::{Kind, parse, standard_threads};
use metrology::gauges::{Gauge, GaugeClass, GaugeError, GaugeSet, gauges};
use metrology::limits::{Limits, ThreadLimits};
use metrology::source::{Confidence, Source};
use metrology::units::{Length, LengthUnit};
use metrology::validation::limits::of_gauge;

fn limits(designation: &str) -> ThreadLimits {
    parse(designation)
        .and_then(|thread| thread.limits())
        .unwrap_or_else(|error| panic!("{designation}: {error}"))
}

fn set(designation: &str, class: Option<GaugeClass>) -> GaugeSet {
    gauges(&limits(designation), class).unwrap_or_else(|error| panic!("{error}"))
}

fn gauge<'a>(set: &'a GaugeSet, name: &str) -> &'a Gauge {
    set.gauges
        .iter()
        .find(|gauge| gauge.name.key() == name)
        .unwrap_or_else(|| panic!("{}: no {name}", set.designation))
}

#[test]
fn every_worked_example() {
    const ROWS: &str = include_str!("../../src/validation/cases/gauges.csv");
    let mut rows = 0;
    for row in csv::Reader::from_reader(ROWS.as_bytes())
        .records()
        .map(Result::unwrap)
    {
        let class = match &row[1] {
            "" => None,
            "W" => Some(GaugeClass::W),
            _ => Some(GaugeClass::X),
        };
        let set = set(&row[0], class);
        let gauge = gauge(&set, &row[2]);
        let length = |text: &str| Length::from_decimal(text.parse().unwrap(), set.unit).unwrap();
        let expected = Limits::between(length(&row[5]), length(&row[4]));
        let answered =
            of_gauge(gauge, &row[3]).unwrap_or_else(|| panic!("{} is no quantity", &row[3]));
        assert_eq!(answered, expected, "{} {} {}", &row[0], &row[2], &row[3]);
        row[6].parse::<Source>().unwrap();
        rows += 1;
    }
    assert_eq!(rows, 14);
}

/// Screw gauges of ASME B1.2 lie inside the product limits, whatever the thread; where the table ends, the error says
/// so. Nothing panics on any standard thread.
#[test]
fn b1_2_lies_inside_and_iso_1502_not_go_outside() {
    let (mut inside, mut outside) = (0, 0);
    for standard in standard_threads() {
        for kind in [Kind::External, Kind::Internal] {
            let Ok(thread) = parse(&format!("{} {}", standard.designation, kind.key()))
                .and_then(|thread| thread.limits())
            else {
                continue;
            };
            let set = match gauges(&thread, None) {
                Ok(set) => set,
                Err(GaugeError::OutsideTable { .. } | GaugeError::NoStandard { .. }) => continue,
                Err(error) => panic!("{error}"),
            };
            let product = thread.pitch_diameter;
            assert_eq!(set.confidence, Confidence::Weak);
            let screw: Vec<_> = set
                .gauges
                .iter()
                .filter(|gauge| gauge.pitch_diameter.lower.is_some())
                .collect();
            assert!(screw.len() >= 2);
            if set.unit == LengthUnit::Inch {
                for gauge in screw {
                    assert!(gauge.pitch_diameter.lower >= product.lower, "{set:?}");
                    assert!(gauge.pitch_diameter.upper <= product.upper, "{set:?}");
                    assert!(gauge.standard == "ASME B1.2 X" && gauge.wear_limit.is_none());
                }
                inside += 1;
            } else {
                match kind {
                    Kind::Internal => {
                        let not_go = gauge(&set, "not-go-plug");
                        assert_eq!(not_go.pitch_diameter.lower, product.upper);
                        assert!(not_go.wear_limit < not_go.pitch_diameter.lower);
                        assert!(gauge(&set, "go-plug").wear_limit < product.lower);
                    }
                    Kind::External => {
                        let not_go = gauge(&set, "not-go-ring");
                        assert_eq!(not_go.pitch_diameter.upper, product.lower);
                        assert!(not_go.wear_limit > not_go.pitch_diameter.upper);
                        assert!(gauge(&set, "go-ring").wear_limit > product.upper);
                    }
                }
                outside += 1;
            }
        }
    }
    assert!(inside > 300 && outside > 300, "{inside} {outside}");
}

/// Plain gauges never leave the crest limits of the product and never take more than a tenth of its tolerance.
#[test]
fn plain_gauges_keep_to_their_share() {
    for designation in ["1/4-20 UNC-2A", "1/4-20 UNC-2B", "M10-6g", "M6-6H"] {
        let thread = limits(designation);
        let crest = match thread.kind {
            Kind::External => thread.major,
            Kind::Internal => thread.minor,
        };
        let set = set(designation, None);
        let plain: Vec<_> = set
            .gauges
            .iter()
            .filter(|gauge| gauge.standard.starts_with("ASME B89.1.5"))
            .collect();
        assert_eq!(plain.len(), 2, "{designation}");
        let mut taken = Length::ZERO;
        for gauge in plain {
            assert!(gauge.diameter.lower >= crest.lower && gauge.diameter.upper <= crest.upper);
            taken += gauge.diameter.tolerance().unwrap();
        }
        assert!(
            taken.times(10) <= crest.tolerance().unwrap(),
            "{designation}"
        );
    }
}

#[test]
fn says_what_is_wrong() {
    let class = gauges(&limits("M6-6H"), Some(GaugeClass::W)).unwrap_err();
    assert_eq!(class.kind(), "no-gauge-class");
    // 5.5 threads per inch stands in no row of the table.
    let special = gauges(&limits("3-5.5 UNS-2A"), None);
    assert!(
        matches!(special, Err(GaugeError::OutsideTable { .. })),
        "{special:?}"
    );
}
