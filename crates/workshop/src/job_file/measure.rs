//! The section `[measure]`: its own keys, and the section of a feature within, whose keys its table states.

use std::fmt;

use metrology::inspection::{FeatureKind, Scope, ThreadDiameter};
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

use super::by_keys::{Keys, Name, Shaped};
use super::section_keys::CoatingKeys;
use super::typed::Typed;

macro_rules! measure {
    ($($key:ident: $kind:ty),* $(,)?) => {
        /// What is measured.
        #[derive(Default)]
        pub struct Measure {
            $( pub $key: Option<$kind>, )*
            /// The sections of features; a job has one at most.
            pub features: Vec<(FeatureKind, Shaped)>,
        }

        const OWN: &[&str] = &[$( stringify!($key) ),*];

        impl<'de> Visitor<'de> for MeasureVisitor {
            type Value = Measure;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("what is measured")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Measure, A::Error> {
                let mut measure = Measure::default();
                while let Some(name) = map.next_key_seed(Name(&NAMES))? {
                    match name {
                        $( stringify!($key) => measure.$key = map.next_value()?, )*
                        name => {
                            if let Some(kind) = FeatureKind::of(name) {
                                let keys = Keys::whole(kind.keys(), kind.key_names());
                                measure.features.push((kind, map.next_value_seed(keys)?));
                            }
                        }
                    }
                }
                // In the order of features, not of the file.
                measure.features.sort_by_key(|(kind, _)| *kind);
                Ok(measure)
            }
        }
    };
}
measure! {
    designation: String,
    diameter: ThreadDiameter,
    scope: Scope,
    name: String,
    lower: Typed,
    upper: Typed,
    nominal: Typed,
    tolerance: Typed,
    origin: String,
    plane: Typed,
    plane_within: Typed,
    coating: CoatingKeys,
}

/// Every key of the section: its own and the features.
static NAMES: [&str; OWN.len() + FeatureKind::EVERY.len()] = {
    let mut names = [""; OWN.len() + FeatureKind::EVERY.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = if at < OWN.len() {
            OWN[at]
        } else {
            FeatureKind::EVERY[at - OWN.len()].key()
        };
        at += 1;
    }
    names
};

struct MeasureVisitor;

impl<'de> Deserialize<'de> for Measure {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(MeasureVisitor)
    }
}
