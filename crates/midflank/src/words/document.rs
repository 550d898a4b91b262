//! The result of an inspection in words.

use ledger::{Facts, Number, Text};
use metrology::message::Message;
use workshop::document::inspection::Correction;
use workshop::document::{BudgetLine, Finding, Inspected};

use super::{Shown, message, named};

/// What a result says, in the unit and with the decimals of its drawing.
pub trait InWords {
    /// How its lengths are shown.
    fn shown(&self) -> Shown;

    /// Something of it.
    fn say(&self, what: &Message) -> String;

    /// What was measured.
    fn characteristic(&self) -> String;
}

impl InWords for Inspected {
    fn shown(&self) -> Shown {
        Shown {
            unit: self.unit,
            decimals: self.decimals,
        }
    }

    fn say(&self, what: &Message) -> String {
        message(what, self.shown())
    }

    fn characteristic(&self) -> String {
        self.say(&self.characteristic)
    }
}

/// No limit has more decimals.
const MOST_DECIMALS: u32 = 28;

/// What is known of a result in words.
pub trait KnownInWords {
    /// What was measured; none where that is not known.
    fn characteristic(&self) -> Option<String>;
}

impl KnownInWords for Facts {
    fn characteristic(&self) -> Option<String> {
        let told: Message = serde_json::from_str(self.text(Text::Told)?).ok()?;
        let stated = self.number(Number::Decimals)?;
        let decimals = (0..=MOST_DECIMALS).find(|n| f64::from(*n) >= stated)?;
        let unit = self.text(Text::Unit)?.parse().ok()?;
        Some(message(&told, Shown { unit, decimals }))
    }
}

/// What is listed in a result under a name.
pub trait Label {
    /// What people call it.
    fn label(&self) -> String;
}

impl Label for Correction {
    fn label(&self) -> String {
        named("correction", &self.name)
    }
}

impl Label for BudgetLine {
    fn label(&self) -> String {
        let own = format!("line.{}", self.name);
        crate::words::known(&own).map_or_else(|| named("quantity", &self.name), str::to_owned)
    }
}

impl Label for Finding {
    fn label(&self) -> String {
        named("finding", &self.key)
    }
}
