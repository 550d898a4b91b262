//! What is asked about a piece of each kind: the keys of an equipment file, with labels and examples.

use crate::register::Kind;
use crate::web::words;

/// How a field is written in an equipment file.
#[derive(Clone, Copy)]
pub enum Written {
    /// As text: words, lengths, dates.
    Text,
    /// As a plain number.
    Number,
    /// As two texts, with this between them.
    Two(&'static str),
    /// As true or false.
    Flag,
    /// As one of these; the first of each pair is written, the other shown.
    OneOf(fn() -> Vec<(&'static str, &'static str)>),
    /// As the points of an error curve, one a line.
    Points,
    /// Beside the points, within the error curve: as text or as a number.
    Curve { key: &'static str, number: bool },
}

/// One field: its key in an equipment file, an example.
#[derive(Clone, Copy)]
pub struct Field {
    pub key: &'static str,
    pub example: &'static str,
    pub written: Written,
    pub needed: bool,
}

impl Field {
    /// What it is called on the page.
    pub fn label(&self) -> &'static str {
        words::label(self.key)
    }
}

const fn field(key: &'static str, example: &'static str, written: Written) -> Field {
    Field {
        key,
        example,
        written,
        needed: false,
    }
}

const fn needed(field: Field) -> Field {
    Field {
        needed: true,
        ..field
    }
}

pub const ID: Field = needed(field("id", "", Written::Text));
const CERTIFICATE: Field = field("certificate", "K-2231", Written::Text);
const CERTIFICATE_DATE: Field = field("certificate_date", "2026-09-30", Written::Text);
const DUE: Field = field("due", "2027-09-30", Written::Text);
const FORCE: Field = field("force", "7.5", Written::Number);
const MATERIAL: Field = field("material", "steel", Written::Text);
const UNCERTAINTY: Field = needed(field("expanded_uncertainty", "0.8um", Written::Text));
const FACTOR: Field = needed(field("coverage_factor", "2", Written::Number));

const INSTRUMENT: &[Field] = &[
    ID,
    needed(field("range", "0 to 25", Written::Two(" to "))),
    field("resolution", "0.001", Written::Text),
    field("maximum_permissible_error", "0.003", Written::Text),
    field("points", "2.5 0.4um", Written::Points),
    field(
        "curve_uncertainty",
        "0.8um",
        Written::Curve {
            key: "expanded_uncertainty",
            number: false,
        },
    ),
    field(
        "curve_factor",
        "2",
        Written::Curve {
            key: "coverage_factor",
            number: true,
        },
    ),
    field(
        "curve_periodic",
        "0.5um",
        Written::Curve {
            key: "periodic_error",
            number: false,
        },
    ),
    FORCE,
    field("spindle_turns", "", Written::Flag),
    CERTIFICATE,
    CERTIFICATE_DATE,
    field("drift_per_year", "0.5um", Written::Text),
    DUE,
];
const CONTACTS: &[Field] = &[
    ID,
    needed(field("kind", "", Written::OneOf(words::contact_kinds))),
    field("members", "V-60-3 + C-60-3", Written::Two("+")),
    field("included_angle", "60", Written::Number),
    field("pitch_range", "1mm to 1.75mm", Written::Two(" to ")),
    field("half_angle_limit", "3", Written::Number),
    field("tip_radius", "1.5", Written::Text),
    field("face", "6.35", Written::Text),
    field("flatness", "0.6um", Written::Text),
    field("parallelism", "2um", Written::Text),
    field("thickness", "0.75", Written::Text),
    MATERIAL,
    FORCE,
    CERTIFICATE,
    DUE,
];
const STANDARD: &[Field] = &[
    ID,
    needed(field("size", "10.0003", Written::Text)),
    field("form", "", Written::OneOf(words::standard_forms)),
    UNCERTAINTY,
    FACTOR,
    CERTIFICATE,
    CERTIFICATE_DATE,
    field("drift_per_year", "0.2um", Written::Text),
    DUE,
];
const WIRES: &[Field] = &[
    ID,
    needed(field("diameter", "0.8661", Written::Text)),
    UNCERTAINTY,
    FACTOR,
    field("calibrated_under_force", "", Written::Flag),
    MATERIAL,
    CERTIFICATE,
    DUE,
];

/// The fields of a kind, in the order of a certificate.
pub const fn fields(kind: Kind) -> &'static [Field] {
    match kind {
        Kind::Instrument => INSTRUMENT,
        Kind::Contacts => CONTACTS,
        Kind::Standard => STANDARD,
        Kind::Wires | Kind::Balls => WIRES,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_has_a_label() {
        for kind in Kind::EVERY.iter().copied() {
            for field in fields(kind) {
                assert!(!field.label().is_empty(), "{}", field.key);
            }
        }
    }
}
