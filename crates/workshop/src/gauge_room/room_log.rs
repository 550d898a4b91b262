//! The file of a data logger: what its thermometer showed, row by row.

use jiff::Timestamp;
use jiff::civil::DateTime;
use metrology::study::{Table, TableError};

use crate::gauge_record::check::RoomValue;
use crate::given::{HUMIDITY, NumberError, Range, TEMPERATURE};
use crate::station;

metrology::messages! {
    /// What is wrong with a log.
    pub enum RoomLogError "room-log" {
        Table "table" { why: TableError as said },
        /// A time that is none.
        Time "time" { line: u64 as Count, text: String as Text },
        /// A time without an offset that the clock shows never, or twice.
        NotOneTime "not-one-time" { line: u64 as Count, text: String as Text, zone: String as Text },
        /// A number out of its range.
        Value "value" { line: u64 as Count, why: NumberError as said },
    }
}

impl From<TableError> for RoomLogError {
    fn from(why: TableError) -> Self {
        Self::Table { why }
    }
}

/// Takes the text of a log: columns `time`, `celsius` and, if there is one, `humidity`.
pub fn parse(text: &str) -> Result<Vec<RoomValue>, RoomLogError> {
    let table = Table::read(text, &["time", "celsius"])?;
    let times = table.texts("time")?;
    let celsius = table.values("celsius")?;
    let humidity = if table.has("humidity") {
        let read = table.values("humidity")?;
        read.into_iter().map(Some).collect()
    } else {
        vec![None; times.len()]
    };
    let rows = table.lines().zip(&times).zip(celsius).zip(humidity);
    rows.map(|(((line, time), celsius), humidity)| {
        let within = |range: Range, field: &str, number: f64| {
            let read = range.read(field, &number.to_string());
            read.map_err(|why| RoomLogError::Value { line, why })
        };
        Ok(RoomValue {
            at: moment(time).map_err(|why| on_line(why, line, time))?,
            celsius: within(TEMPERATURE, "celsius", celsius)?,
            humidity: humidity
                .map(|number| within(HUMIDITY, "humidity", number))
                .transpose()?,
        })
    })
    .collect()
}

/// A time with its offset or, as most loggers write it, without one: then by the clock on the wall here.
pub fn moment(text: &str) -> Result<Timestamp, NoMoment> {
    let text = text.trim();
    if let Ok(at) = text.parse() {
        return Ok(at);
    }
    let has_offset = text
        .get(10..)
        .is_some_and(|time| time.contains(['Z', 'z', '+', '-', '[']));
    let here: Option<DateTime> = text.parse().ok().filter(|_| !has_offset);
    station::time(here.ok_or(NoMoment::NoTime)?).ok_or(NoMoment::NotOne)
}

/// Why a text is no moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoMoment {
    NoTime,
    /// The clock shows it twice, or never.
    NotOne,
}

fn on_line(why: NoMoment, line: u64, text: &str) -> RoomLogError {
    let text = text.chars().take(40).collect();
    match why {
        NoMoment::NoTime => RoomLogError::Time { line, text },
        NoMoment::NotOne => RoomLogError::NotOneTime {
            line,
            text,
            zone: station::zone(),
        },
    }
}

#[cfg(test)]
mod tests {
    use metrology::message::Say as _;

    use super::*;

    #[test]
    fn a_log_with_and_without_humidity() {
        let read = parse(
            "time;celsius;humidity\n2026-03-10T08:00:00Z;20,1;45\n2026-03-10 10:05+02:00;20,2;46,5\n",
        );
        let read = read.unwrap();
        assert_eq!(read[0].celsius, 20.1);
        assert_eq!(read[1].humidity, Some(46.5));
        assert_eq!(read[1].at, "2026-03-10T08:05:00Z".parse().unwrap());
        let read = parse("time,celsius\n2026-03-10 08:00,20.1\n").unwrap();
        assert_eq!(read[0].humidity, None);
    }

    #[test]
    fn what_is_wrong_is_named_with_its_line() {
        let code = |text: &str| parse(text).unwrap_err().message().key().to_owned();
        assert_eq!(code("time,celsius\n\nyesterday,20.1\n"), "time");
        assert_eq!(code("time,celsius\n2026-03-10T08:00:00+x,20.1\n"), "time");
        assert_eq!(code("time,celsius\n2026-03-10T08:00:00Z,201\n"), "value");
        assert_eq!(
            code("time,celsius,humidity\n2026-03-10T08:00:00Z,20,101\n"),
            "value"
        );
        assert_eq!(code("time,celsius\n2026-03-10T08:00:00Z,warm\n"), "table");
        assert_eq!(code("celsius\n20\n"), "table");
        let line = |text: &str| match parse(text).unwrap_err() {
            RoomLogError::Time { line, .. } => line,
            other => panic!("{other:?}"),
        };
        assert_eq!(
            line("time,celsius\n2026-03-10T08:00:00Z,20\nyesterday,20.1\n"),
            3
        );
    }
}
