//! Whether a piece may be used on a day: by the register, by the gauge room, and by its due date.

use jiff::civil::Date;

use super::Registered;
use crate::gauge_record::status::{Extension, Status, by_due};

/// How a piece stands on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    pub status: Status,
    /// When its calibration is due; an extension does not move that.
    pub due: Option<Date>,
    /// What the gauge room put off, where that is in force.
    pub extension: Option<Extension>,
    /// What a limited piece may be used for.
    pub limited_to: Vec<String>,
    pub holder: Option<String>,
}

impl Standing {
    /// The end of an extension that is in force.
    pub fn extended_until(&self) -> Option<Date> {
        self.extension.as_ref().map(|extension| extension.until)
    }
}

impl Registered {
    /// How it stands on a day, by all that is known now.
    pub fn standing(&self, day: Date) -> Standing {
        let due = self.periods.due(Date::MAX);
        let extension = self.periods.extension(Date::MAX).cloned();
        let extension = extension.filter(|extension| extension.until >= day);
        let change = self.status().map(|last| &last.change);
        let set = change.map(|change| change.on(day, due));
        let by_register = Status::apart(self.described.state());
        // A piece that the register sets apart is not in use, whatever the gauge room has set.
        let status = match (set, by_register) {
            (Some(set), _) if set.is_barred() => set,
            (_, Some(apart)) => apart,
            (Some(set), None) => set,
            (None, None) => by_due(day, due, extension.as_ref()),
        };
        Standing {
            status,
            due,
            extension,
            limited_to: change.map_or_else(Vec::new, |change| change.limited_to.clone()),
            holder: change.and_then(|change| change.holder.clone()),
        }
    }
}
