//! When a job was measured: as stated, or by the clock of the computer, and which day that was at the bench.

use jiff::civil::{Date, DateTime};
use jiff::{SignedDuration, Timestamp};
use metrology::message::Value;

use super::error::{FileNote, Wrong};
use super::typed::{Source, Typed};
use crate::error::Error;
use crate::record::RecordNote;
use crate::register::Shelf;
use crate::remark::Remark;
use crate::station;

/// How far ahead of the clock of this computer a time may be: clocks of two computers differ. Common practice, no source.
const AHEAD: SignedDuration = SignedDuration::from_mins(5);

/// The moment at which a job file is read, and when was measured if it does not say.
#[derive(Clone, Copy, Debug)]
pub struct Clock {
    /// Now.
    pub now: Timestamp,
    /// When was measured if the file does not say.
    pub measured: Measured,
}

/// When was measured, and the day at the bench.
#[derive(Clone, Copy, Debug)]
pub struct Measured {
    pub at: Timestamp,
    pub on: Date,
}

impl From<Timestamp> for Measured {
    fn from(at: Timestamp) -> Self {
        let on = station::day(at);
        Self { at, on }
    }
}

impl Measured {
    /// At a moment, on the day that its offset showed where that is known.
    pub fn on_day(at: Timestamp, day: Option<Date>) -> Self {
        let on = day.unwrap_or_else(|| station::day(at));
        Self { at, on }
    }
}

impl From<Timestamp> for Clock {
    /// Measured now, if the file does not say.
    fn from(now: Timestamp) -> Self {
        let measured = now.into();
        Self { now, measured }
    }
}

/// When a job was measured, and what its record says of that.
pub fn measured(
    source: &Source,
    typed: Option<&Typed>,
    clock: Clock,
    shelf: &Shelf,
) -> Result<(Measured, Option<Value>), Error> {
    let Some(typed) = typed else {
        return Ok((clock.measured, None));
    };
    let at = stated(source, typed, shelf)?;
    if at < Timestamp::UNIX_EPOCH {
        let text = source.text(typed);
        return Err(source.wrong_at(typed, Wrong::TimeTooEarly { text }));
    }
    let ahead = at.duration_since(clock.now);
    if ahead > AHEAD {
        let text = source.text(typed);
        return Err(source.wrong_at(typed, Wrong::TimeAhead { text }));
    }
    let seconds = u32::try_from(ahead.as_secs())
        .ok()
        .filter(|ahead| *ahead > 0);
    let note = seconds.map(|seconds| {
        let note = RecordNote::Ahead { seconds };
        shelf.remark(Remark::of(note.clone()));
        Value::said(note)
    });
    let day = day_of(&source.text(typed));
    Ok((Measured::on_day(at, day), note))
}

/// The day that the clock on the wall showed, where the time is written with its distance from UTC; `Z` says nothing of where that
/// was.
pub fn day_of(text: &str) -> Option<Date> {
    if text.ends_with(['Z', 'z']) {
        return None;
    }
    let shown = text.parse::<DateTime>().ok();
    shown.filter(|_| has_offset(text)).map(DateTime::date)
}

/// A time with its offset or, without one, as the clock on the wall shows it here; a day alone is its beginning.
fn stated(source: &Source, typed: &Typed, shelf: &Shelf) -> Result<Timestamp, Error> {
    let text = source.text(typed);
    if let Ok(at) = text.parse() {
        return Ok(at);
    }
    // An offset that is written and makes no sense is not passed over.
    let of_here = text.parse::<DateTime>().ok().filter(|_| !has_offset(&text));
    let Some(here) = of_here else {
        return Err(source.wrong_at(typed, Wrong::NoTime { text }));
    };
    let zone = station::zone();
    let Some(at) = station::time(here) else {
        return Err(source.wrong_at(typed, Wrong::NotOneTime { text, zone }));
    };
    shelf.remark(Remark::of(FileNote::TimeOfHere { text, zone, at }));
    Ok(at)
}

/// Whether something stands behind the time of day.
fn has_offset(text: &str) -> bool {
    let time = text.get(10..).unwrap_or_default();
    time.contains(['Z', 'z', '+', '-', '['])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_is_that_of_the_offset_written() {
        let day = |text| day_of(text).map(|day| day.to_string());
        assert_eq!(day("2026-03-10T23:30+13:00").as_deref(), Some("2026-03-10"));
        assert_eq!(day("2026-03-10T00:10-05:00").as_deref(), Some("2026-03-10"));
        assert_eq!(
            day("2026-03-10T00:10+01:00[Europe/Paris]").as_deref(),
            Some("2026-03-10")
        );
        for of_the_computer in ["2026-03-10T23:30Z", "2026-03-10T23:30", "2026-03-10"] {
            assert_eq!(day(of_the_computer), None, "{of_the_computer}");
        }
    }
}
