//! Contacts that do not show what is measured: why, and what they would add to the reading.

use super::equipment::{ContactKind, Contacts};
use super::field::Field;
use super::of_thread::ThreadDiameter;
use crate::message::{Message, Say};
use crate::units::{Entered, Length};

crate::messages! {
    /// Why contacts do not show what is measured, and what would. What is said of one feature alone stands with it.
    pub enum ContactsUnfit "contacts-unfit" {
        /// A size of the pair that the check rests on is not known.
        NotStated "not-stated" { field: Field as code, kind: ContactKind as code },
        /// V and cone where nothing but limits is known.
        VAndConeOffThread "v-and-cone-off-thread",
        /// A V-anvil on a diameter.
        VAnvilOnSize "v-anvil-on-size",
        /// A spindle that would turn the blade on the part.
        SpindleTurns "spindle-turns" { instrument: String as Text },
        /// A plain standard under V and cone.
        PlainStandard "plain-standard" { standard: String as Text },
        /// Outside contacts and an internal thread.
        InternalThread "internal-thread",
        /// V and cone, for another diameter than the pitch diameter.
        FlanksOnly "flanks-only" { diameter: ThreadDiameter as code },
        /// Flat faces, for another diameter than the major diameter.
        CrestsOnly "crests-only" { diameter: ThreadDiameter as code },
        /// Contacts that sit on no thread.
        OffThread "off-thread" { kind: ContactKind as code },
        /// Contacts without wires on a taper thread.
        OnTaper "on-taper" { kind: ContactKind as code },
        /// A pair of another included angle than the thread, degrees.
        OtherAngle "other-angle" { pair: f64 as number, thread: f64 as number },
        /// A thread whose grooves face grooves.
        EvenStarts "even-starts" { starts: usize as count },
        /// A pitch that the pair is not marked for, millimetres.
        OutsidePitches "outside-pitches" { low: f64 as Length, high: f64 as Length, pitch: f64 as Length },
    }
}

/// The code of [`ContactsUnfit::OffThread`].
pub const OFF_THREAD: &str = "contacts-unfit.off-thread";

/// Contacts that do not suit a feature.
#[derive(Clone, Debug, PartialEq)]
pub struct Misfit {
    /// Why, and what would be right.
    pub why: Message,
    /// What they would add to the reading, millimetres, where that can be said.
    pub error: Option<f64>,
}

impl Misfit {
    /// Why, where nothing can be said of how much.
    pub fn new(why: impl Say) -> Self {
        Self {
            why: why.message(),
            error: None,
        }
    }

    /// Why, and what they would add to the reading, millimetres.
    pub fn by(error: f64, why: impl Say) -> Self {
        Self {
            error: Some(error),
            ..Self::new(why)
        }
    }
}

/// Refuses where something is unfit.
pub fn unless(unfit: bool, why: impl Say) -> Result<(), Misfit> {
    if unfit { Err(Misfit::new(why)) } else { Ok(()) }
}

/// A size of the pair that the check rests on.
pub fn need(contacts: &Contacts, field: Field) -> Result<&Entered, Misfit> {
    let size = match field {
        Field::TipRadius => &contacts.tip_radius,
        Field::Thickness => &contacts.thickness,
        _ => &contacts.face,
    };
    let kind = contacts.kind;
    size.as_ref()
        .filter(|size| size.value() > Length::ZERO)
        .ok_or_else(|| Misfit::new(ContactsUnfit::NotStated { field, kind }))
}
