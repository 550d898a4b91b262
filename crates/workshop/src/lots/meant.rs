//! What is measured, by what its words mean: the same thread may be written `M10-6g` or `M10 x 1.5 - 6g`, and a size may have
//! another name or its name in capital letters.

use metrology::features::Feature;
use metrology::inspection::{Characteristic, FeatureKind, Target, ThreadDiameter};
use metrology::limits::Limits;
use metrology::thread::{Form, Hand, Kind};
use metrology::units::{Length, Pitch};

/// What is measured and within which limits.
#[derive(Clone, Debug)]
pub(super) struct Meant {
    what: What,
    /// What the drawing calls it, in small letters; empty of a thread.
    name: String,
    limits: Limits,
    /// What a feature needs to know.
    feature: Option<Feature>,
}

#[derive(Clone, Debug, PartialEq)]
enum What {
    Thread {
        form: Form,
        kind: Kind,
        hand: Hand,
        nominal: Length,
        pitch: Pitch,
        starts: u16,
        diameter: ThreadDiameter,
        /// The plane of a taper thread.
        plane: Option<Length>,
    },
    /// A size; of a feature, which.
    Size(Option<FeatureKind>),
}

impl Meant {
    /// None of what this program cannot look up.
    pub fn of(characteristic: &Characteristic) -> Option<Self> {
        let target = Target::of(characteristic).ok()?;
        let what = match &target.thread {
            Some(thread) => What::Thread {
                form: thread.form,
                kind: thread.kind,
                hand: thread.hand,
                nominal: thread.nominal,
                pitch: thread.pitch,
                starts: thread.starts,
                diameter: target.diameter,
                plane: target.plane.as_ref().map(|plane| plane.at.value()),
            },
            None => What::Size(target.feature.as_ref().map(Feature::kind)),
        };
        let name = match what {
            What::Thread { .. } => String::new(),
            What::Size(_) => target.name.trim().to_lowercase(),
        };
        Some(Self {
            what,
            name,
            limits: target.limits,
            feature: target.feature,
        })
    }

    /// The same within the same limits.
    pub fn is_same(&self, other: &Self) -> bool {
        self.is_of_kind(other) && self.limits == other.limits && self.feature == other.feature
    }

    /// The same thread and diameter, or the same kind of size; its limits may be others.
    pub fn is_of_kind(&self, other: &Self) -> bool {
        self.what == other.what
    }

    /// The same feature of the part as far as anybody can tell; its limits may be others.
    pub fn is_of_feature(&self, other: &Self) -> bool {
        let alike = self.is_named_as(other) || self.limits == other.limits;
        self.is_of_kind(other) && (alike || matches!(self.what, What::Thread { .. }))
    }

    /// Whether the drawing calls both the same.
    pub fn is_named_as(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

#[cfg(test)]
mod tests {
    use metrology::units::Entered;

    use super::*;

    fn thread(designation: &str) -> Meant {
        Meant::of(&Characteristic::Thread {
            designation: designation.to_owned(),
            diameter: ThreadDiameter::PitchDiameter,
            terms: None,
        })
        .unwrap()
    }

    fn size(name: &str, lower: &str, upper: &str) -> Meant {
        let mm = |text: &str| Some(Entered::parse(text, None).unwrap());
        Meant::of(&Characteristic::Stated {
            name: name.to_owned(),
            lower: mm(lower),
            upper: mm(upper),
        })
        .unwrap()
    }

    #[test]
    fn a_thread_is_the_same_however_it_is_written() {
        let plain = thread("M10x1.5-6g");
        for written in [
            "M10-6g",
            "M10 x 1.5 - 6g",
            "M10x1.5-6g6g",
            "M10x1.5-6g-RH",
            "M10x1.5-6g external",
            "M10x1.5-6g-N",
        ] {
            assert!(plain.is_same(&thread(written)), "{written}");
        }
        for other in ["M10x1.5-6h", "M10x1.5-4g6g"] {
            let other = thread(other);
            assert!(!plain.is_same(&other) && plain.is_of_feature(&other));
        }
        for other in ["M10x1.25-6g", "M10x1.5-6H", "M10x1.5-6g-LH", "M12-6g"] {
            assert!(!plain.is_of_feature(&thread(other)), "{other}");
        }
    }

    #[test]
    fn a_size_is_the_same_by_kind_and_limits() {
        let shank = size("shank", "9.9mm", "10mm");
        assert!(shank.is_same(&size("Shank ", "9.90mm", "10.000mm")));
        assert!(shank.is_same(&size("stem", "9.9mm", "10mm")));
        assert!(!shank.is_named_as(&size("stem", "9.9mm", "10mm")));
        let wider = size("SHANK", "9.8mm", "10mm");
        assert!(!shank.is_same(&wider) && shank.is_of_feature(&wider));
        assert!(!shank.is_of_feature(&size("collar", "13.9mm", "14.1mm")));
    }
}
