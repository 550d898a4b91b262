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

/// One field: its key in an equipment file, its label, an example.
#[derive(Clone, Copy)]
pub struct Field {
    pub key: &'static str,
    pub label: &'static str,
    pub example: &'static str,
    pub written: Written,
    pub needed: bool,
}

const fn field(
    key: &'static str,
    label: &'static str,
    example: &'static str,
    written: Written,
) -> Field {
    Field {
        key,
        label,
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

pub const ID: Field = needed(field("id", "Identity, as marked on it", "", Written::Text));
const CERTIFICATE: Field = field("certificate", "Certificate", "K-2231", Written::Text);
const DUE: Field = field("due", "Next calibration due", "2027-09-30", Written::Text);
const FORCE: Field = field("force", "Measuring force, newtons", "7.5", Written::Number);
const MATERIAL: Field = field("material", "Material", "steel", Written::Text);
const UNCERTAINTY: Field = needed(field(
    "expanded_uncertainty",
    "Expanded uncertainty U",
    "0.8um",
    Written::Text,
));
const FACTOR: Field = needed(field(
    "coverage_factor",
    "Coverage factor k",
    "2",
    Written::Number,
));

const INSTRUMENT: &[Field] = &[
    ID,
    needed(field("range", "Range", "0 to 25", Written::Two(" to "))),
    field("resolution", "Resolution", "0.001", Written::Text),
    field(
        "maximum_permissible_error",
        "Maximum permissible error",
        "0.003",
        Written::Text,
    ),
    field(
        "points",
        "Error curve",
        "2.5 0.4um for each point, in a line of its own",
        Written::Points,
    ),
    field(
        "curve_uncertainty",
        "U of the error curve",
        "0.8um",
        Written::Curve {
            key: "expanded_uncertainty",
            number: false,
        },
    ),
    field(
        "curve_factor",
        "k of the error curve",
        "2",
        Written::Curve {
            key: "coverage_factor",
            number: true,
        },
    ),
    field(
        "curve_periodic",
        "Periodic error of the screw",
        "0.5um",
        Written::Curve {
            key: "periodic_error",
            number: false,
        },
    ),
    FORCE,
    field("spindle_turns", "Does the spindle turn?", "", Written::Flag),
    CERTIFICATE,
    DUE,
];
const CONTACTS: &[Field] = &[
    ID,
    needed(field(
        "kind",
        "Kind",
        "",
        Written::OneOf(words::contact_kinds),
    )),
    field(
        "members",
        "The two contacts",
        "V-60-3 + C-60-3",
        Written::Two("+"),
    ),
    field(
        "included_angle",
        "Included angle, degrees",
        "60",
        Written::Number,
    ),
    field(
        "pitch_range",
        "Pitches, as marked",
        "1mm to 1.75mm",
        Written::Two(" to "),
    ),
    field(
        "half_angle_limit",
        "How far each half angle may be off, minutes",
        "3",
        Written::Number,
    ),
    field("tip_radius", "Tip radius", "1.5", Written::Text),
    field("face", "Face", "6.35", Written::Text),
    field("thickness", "Thickness", "0.75", Written::Text),
    MATERIAL,
    FORCE,
    CERTIFICATE,
    DUE,
];
const STANDARD: &[Field] = &[
    ID,
    needed(field("size", "Certified size", "10.0003", Written::Text)),
    field("form", "Form", "", Written::OneOf(words::standard_forms)),
    UNCERTAINTY,
    FACTOR,
    CERTIFICATE,
    DUE,
];
const WIRES: &[Field] = &[
    ID,
    needed(field(
        "diameter",
        "Certified diameter",
        "0.8661",
        Written::Text,
    )),
    UNCERTAINTY,
    FACTOR,
    field(
        "calibrated_under_force",
        "Calibrated under the measuring force?",
        "",
        Written::Flag,
    ),
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
