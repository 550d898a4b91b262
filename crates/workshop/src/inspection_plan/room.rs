//! What a plan asks of the room, and how it stands with a result.

use metrology::message::{Message, Value};

use super::PlanNote;

/// A value of the room may be so far in time from a result where the plan does not say, minutes (common practice, no source).
pub const USUAL_WITHIN: u64 = 60;

/// Limits of the room; a result measured outside them, or without a value of the room near it, has no verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomLimits {
    /// The lowest and the highest temperature, degrees Celsius.
    pub temperature: Option<[f64; 2]>,
    /// The lowest and the highest relative humidity, percent.
    pub humidity: Option<[f64; 2]>,
    /// How near in time to a result a value must be on record, minutes.
    pub within: u64,
}

impl RoomLimits {
    /// They stand with each result, so that it can be judged anew when it is amended.
    pub fn notes(&self) -> impl Iterator<Item = Value> {
        let within = self.within;
        let temperature = self
            .temperature
            .map(|[lower, upper]| PlanNote::RoomTemperature {
                lower,
                upper,
                within,
            });
        let humidity = self.humidity.map(|[lower, upper]| PlanNote::RoomHumidity {
            lower,
            upper,
            within,
        });
        [temperature, humidity]
            .into_iter()
            .flatten()
            .map(Value::said)
    }

    /// The limits that stand with a result.
    pub fn noted(notes: &[Value]) -> Option<Self> {
        let mut limits = Self {
            temperature: None,
            humidity: None,
            within: USUAL_WITHIN,
        };
        for note in notes {
            let Value::Message(message) = note else {
                continue;
            };
            let of = match &*message.code {
                "plan-note.room-temperature" => &mut limits.temperature,
                "plan-note.room-humidity" => &mut limits.humidity,
                _ => continue,
            };
            let (Some(lower), Some(upper)) = (number(message, "lower"), number(message, "upper"))
            else {
                continue;
            };
            *of = Some([lower, upper]);
            if let Some(Value::Count(within)) = message.value("within") {
                limits.within = *within;
            }
        }
        (limits.temperature.is_some() || limits.humidity.is_some()).then_some(limits)
    }

    /// Whether a note of a result is one of them.
    pub fn is_one(note: &Value) -> bool {
        Self::noted(std::slice::from_ref(note)).is_some()
    }
}

fn number(message: &Message, name: &str) -> Option<f64> {
    match message.value(name)? {
        Value::Celsius(number) | Value::Percent(number) => Some(*number),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_are_read_back_from_the_notes_of_a_result() {
        for (temperature, humidity) in [
            (Some([19.0, 21.0]), None),
            (None, Some([30.0, 60.0])),
            (Some([19.5, 20.5]), Some([40.0, 50.0])),
        ] {
            let limits = RoomLimits {
                temperature,
                humidity,
                within: 30,
            };
            let notes: Vec<Value> = limits.notes().collect();
            assert_eq!(RoomLimits::noted(&notes), Some(limits));
            assert!(notes.iter().all(RoomLimits::is_one));
        }
        assert_eq!(RoomLimits::noted(&[]), None);
    }
}
