//! What one description of a piece says otherwise than another that counts.

use super::{Key, Row, Stated, under};

/// How what stands under a key is held against what another description of the piece says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Held {
    /// It is the same of a piece wherever that is described.
    Same,
    /// A limit of an error: a larger one is only cautious.
    NotLess {
        /// What is taken where it is left out, in the unit of the key.
        left_out: Option<f64>,
    },
    /// A range: a narrower one is only cautious.
    NotWider,
}

/// A key under which a description says otherwise than the one that counts.
#[derive(Clone, Debug)]
pub struct Otherwise {
    pub key: &'static Key,
    /// What it says, or what is taken where it leaves the key out.
    pub here: Stated,
    /// What counts.
    pub there: Stated,
}

/// The keys under which a description says otherwise than the one that counts: something else of what is always the same, a
/// smaller limit of an error, a wider range.
pub fn otherwise(here: &[Row], there: &[Row]) -> Vec<Otherwise> {
    let of = |(key, there): &Row| {
        let held = key.held?;
        let stated = under(here, key.name).cloned();
        let here = stated.or_else(|| held.left_out())?;
        is_otherwise(held, &here, there).then(|| Otherwise {
            key,
            here,
            there: there.clone(),
        })
    };
    there.iter().filter_map(of).collect()
}

impl Held {
    fn left_out(self) -> Option<Stated> {
        match self {
            Self::NotLess { left_out } => left_out.map(Stated::Number),
            Self::Same | Self::NotWider => None,
        }
    }
}

fn is_otherwise(held: Held, here: &Stated, there: &Stated) -> bool {
    match held {
        Held::Same => !here.is_same(there),
        Held::NotLess { .. } => {
            let both = number(here).zip(number(there));
            both.is_some_and(|(here, there)| here < there)
        }
        Held::NotWider => {
            let ends = span(here).zip(span(there));
            // A millionth of slack: 24 tpi is not a whole number of any length.
            ends.is_some_and(|([lower, upper], [least, most])| {
                lower < least * (1.0 - 1e-6) || upper > most * (1.0 + 1e-6)
            })
        }
    }
}

/// A length in millimetres, or a number.
fn number(stated: &Stated) -> Option<f64> {
    match stated {
        Stated::Length(length) => Some(length.value().mm()),
        Stated::Number(number) => Some(*number),
        // Threads per inch, as a pair is marked.
        Stated::Text(text) => {
            let per_inch = text.trim().to_lowercase();
            let per_inch: f64 = per_inch.strip_suffix("tpi")?.trim().parse().ok()?;
            Some(25.4 / per_inch)
        }
        _ => None,
    }
}

/// The smaller and the larger of two.
fn span(stated: &Stated) -> Option<[f64; 2]> {
    let Stated::List(both) = stated else {
        return None;
    };
    let [one, other] = both.as_slice() else {
        return None;
    };
    let (one, other) = (number(one)?, number(other)?);
    Some([one.min(other), one.max(other)])
}

#[cfg(test)]
mod tests {
    use super::super::super::marked::PitchEntry;
    use super::super::Stands as _;
    use super::*;
    use crate::units::Entered;

    #[test]
    fn a_larger_limit_and_a_narrower_range_are_cautious() {
        let limit = Held::NotLess {
            left_out: Some(4.0),
        };
        let minutes = Stated::Number;
        assert!(is_otherwise(limit, &minutes(2.0), &minutes(3.0)));
        assert!(!is_otherwise(limit, &minutes(3.0), &minutes(3.0)));
        assert!(!is_otherwise(limit, &minutes(4.0), &minutes(3.0)));

        let pitches = |lower: &str, upper: &str| {
            let one = |text: &str| match Entered::parse(text, None) {
                Ok(length) => PitchEntry::Length(length),
                Err(_) => PitchEntry::PerInch(text.to_owned()),
            };
            [one(lower), one(upper)].stated().unwrap()
        };
        let marked = pitches("1mm", "1.75mm");
        assert!(!is_otherwise(Held::NotWider, &marked, &marked));
        assert!(!is_otherwise(
            Held::NotWider,
            &pitches("1.25mm", "1.5mm"),
            &marked
        ));
        assert!(is_otherwise(
            Held::NotWider,
            &pitches("1mm", "2mm"),
            &marked
        ));
        assert!(is_otherwise(
            Held::NotWider,
            &pitches("0.5mm", "1.75mm"),
            &marked
        ));
        assert!(!is_otherwise(
            Held::NotWider,
            &pitches("24tpi", "16 tpi"),
            &marked
        ));
        assert!(is_otherwise(
            Held::NotWider,
            &pitches("24tpi", "10tpi"),
            &marked
        ));
    }

    /// What is left out says nothing otherwise, unless something is taken in its place.
    #[test]
    fn what_is_left_out_counts_as_it_is_taken() {
        const ANGLE: Key = Key::of::<f64>("angle").same();
        const LIMIT: Key = Key::of::<f64>("limit").not_less(Some(4.0));
        let minutes = Stated::Number;
        let rows = |angle: f64, limit: f64| [(&ANGLE, minutes(angle)), (&LIMIT, minutes(limit))];
        let keys = |here: &[Row], there: &[Row]| -> Vec<&str> {
            otherwise(here, there)
                .iter()
                .map(|one| one.key.name)
                .collect()
        };
        assert!(keys(&rows(60.0, 3.0), &rows(60.0, 3.0)).is_empty());
        assert_eq!(keys(&rows(60.0, 3.0), &rows(55.0, 3.0)), ["angle"]);
        assert!(keys(&[], &rows(55.0, 3.0)).is_empty());
        assert_eq!(keys(&[], &rows(55.0, 5.0)), ["limit"]);
    }
}
