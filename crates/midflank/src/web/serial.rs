//! Readings by a serial line.
//!
//! A line of text for each reading, ended by CR, LF or both: an optional sign, digits with a point or comma, an optional
//! unit (`mm` or `in`), blanks anywhere between. `+8.871`, `8,871 mm` and `0.2151in` are readings. A line without a unit
//! is in the unit of the job; a line with another unit than the job's is refused, as a typed one is. Anything else on
//! the line is said on the page and not taken.

use std::fs::File;
use std::io::{self, Read};
use std::str::FromStr;
use std::sync::Weak;
use std::thread;
use std::time::Duration;

use super::app::App;
use crate::bench::{By, words};
use crate::failure::Failure;
use crate::output::warn;
use crate::say;

/// The longest line listened to, in bytes; what is longer is no reading.
const LONGEST_LINE: usize = 64;
/// How long to wait before a lost line is tried again.
const TRY_AGAIN: Duration = Duration::from_secs(2);

/// A serial line: `DEVICE:BAUD`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub device: String,
    pub baud: u32,
}

impl FromStr for Line {
    type Err = Failure;

    fn from_str(text: &str) -> Result<Self, Failure> {
        let wrong = || Failure::input(say!("page.not-a-device", text = text));
        let (device, baud) = text.rsplit_once(':').ok_or_else(wrong)?;
        let baud = baud
            .parse()
            .ok()
            .filter(|baud| (50..=4_000_000).contains(baud))
            .ok_or_else(wrong)?;
        if device.is_empty() {
            return Err(wrong());
        }
        Ok(Self {
            device: device.to_owned(),
            baud,
        })
    }
}

/// Listens to a line for as long as the bench is there; it does not hold it open. That it is there is checked now; that it goes later is said on
/// the page, and it is tried again.
pub fn listen(line: Line, app: Weak<App>) -> Result<(), Failure> {
    let mut port = open(&line).map_err(|error| {
        Failure::input(say!(
            "page.cannot-open-line",
            line = line.device,
            error = error
        ))
    })?;
    thread::Builder::new()
        .name("serial".to_owned())
        .spawn(move || {
            let notify = |notice| app.upgrade().map(|app| app.notify(notice));
            loop {
                read(&mut port, &app);
                notify(Some(words::line_lost(&line.device)));
                port = loop {
                    thread::sleep(TRY_AGAIN);
                    if let Ok(port) = open(&line) {
                        notify(None);
                        break port;
                    }
                };
            }
        })
        .map_err(Failure::outside)?;
    Ok(())
}

/// Opens the device for raw bytes: 8 data bits, no parity, 1 stop bit, no flow control. Reads wait for a byte.
#[cfg(unix)]
fn open(line: &Line) -> io::Result<File> {
    use rustix::fs::{Mode, OFlags, fcntl_setfl, open};
    use rustix::termios::{
        ControlModes, OptionalActions, SpecialCodeIndex, ioctl_tiocexcl, tcgetattr, tcsetattr,
    };

    // Without waiting for a modem's carrier, which an instrument does not have.
    let flags = OFlags::RDWR | OFlags::NOCTTY | OFlags::CLOEXEC;
    let device = open(&line.device, flags | OFlags::NONBLOCK, Mode::empty())?;
    let mut settings = tcgetattr(&device)?;
    settings.make_raw();
    settings.set_speed(line.baud)?;
    settings.control_modes |= ControlModes::CLOCAL | ControlModes::CREAD;
    settings.control_modes -= ControlModes::CSTOPB | ControlModes::CRTSCTS;
    settings.special_codes[SpecialCodeIndex::VMIN] = 1;
    settings.special_codes[SpecialCodeIndex::VTIME] = 0;
    tcsetattr(&device, OptionalActions::Flush, &settings)?;
    // Nobody else shall take half of the bytes.
    ioctl_tiocexcl(&device)?;
    fcntl_setfl(&device, flags)?;
    Ok(File::from(device))
}

#[cfg(not(unix))]
fn open(_: &Line) -> io::Result<File> {
    Err(io::Error::new(
        io::ErrorKind::Unsupported,
        say!("page.no-serial-lines"),
    ))
}

/// Reads until the line is gone.
fn read(port: &mut impl Read, app: &Weak<App>) {
    let mut lines = Lines::default();
    let mut some = [0_u8; 64];
    loop {
        match port.read(&mut some) {
            Ok(0) => return,
            Ok(count) => {
                // A bench that has ended takes nothing.
                let Some(app) = app.upgrade() else { return };
                for text in lines.take(some.get(..count).unwrap_or_default()) {
                    hear(&text, &app);
                }
            }
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(_) => return,
        }
    }
}

fn hear(text: &str, app: &App) {
    let Some(reading) = reading(text) else {
        app.notify(Some(words::line_no_reading(text)));
        return;
    };
    let done = app.came(&reading, By::Serial);
    if let Err(failure) = done {
        warn(&failure.to_string());
        app.notify(Some(words::failed().to_owned()));
    }
}

/// The reading in a line, without its blanks; none where the line is no reading.
pub fn reading(text: &str) -> Option<String> {
    let plain: String = text.chars().filter(|c| !matches!(c, ' ' | '\t')).collect();
    let number_and_unit = plain.strip_prefix(['+', '-']).unwrap_or(&plain);
    let end = number_and_unit
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
        .unwrap_or(number_and_unit.len());
    let (number, unit) = number_and_unit.split_at(end);
    let signs = number.matches(['.', ',']).count();
    let good = number.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',')
        && number.contains(|c: char| c.is_ascii_digit())
        && signs <= 1
        && matches!(unit.to_ascii_lowercase().as_str(), "" | "mm" | "in");
    good.then(|| plain.trim_start_matches('+').to_ascii_lowercase())
}

/// Bytes into lines.
#[derive(Default)]
pub struct Lines {
    begun: Vec<u8>,
}

impl Lines {
    /// The lines that these bytes complete.
    pub fn take(&mut self, bytes: &[u8]) -> Vec<String> {
        let mut done = Vec::new();
        for byte in bytes {
            match byte {
                b'\r' | b'\n' => {
                    let line = std::mem::take(&mut self.begun);
                    if !line.is_empty() {
                        done.push(String::from_utf8_lossy(&line).into_owned());
                    }
                }
                // One more than is good is kept, so that it shows as no reading.
                _ if self.begun.len() <= LONGEST_LINE => self.begun.push(*byte),
                _ => {}
            }
        }
        done
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_are_readings() {
        for (line, as_typed) in [
            ("+8.871", "8.871"),
            ("8,871 mm", "8,871mm"),
            (" 0.2151in", "0.2151in"),
            ("+ 00008.871", "00008.871"),
            ("-0.002", "-0.002"),
            ("8.871 MM", "8.871mm"),
        ] {
            assert_eq!(reading(line).as_deref(), Some(as_typed), "{line}");
        }
        for line in [
            "",
            "ERR",
            "8.871 kg",
            "8.8.71",
            "8..",
            "R",
            "8.871mm extra",
            ".",
        ] {
            assert_eq!(reading(line), None, "{line}");
        }
    }

    #[test]
    fn lines_come_in_pieces() {
        let mut lines = Lines::default();
        assert_eq!(lines.take(b"8.8"), Vec::<String>::new());
        assert_eq!(lines.take(b"71\r\n8.872\r8."), ["8.871", "8.872"]);
        assert_eq!(lines.take(b"873\n\n"), ["8.873"]);
        let long = lines.take(&[b'1'; 1000]);
        assert!(long.is_empty());
        assert_eq!(lines.take(b"\n")[0].len(), LONGEST_LINE + 1);
    }

    #[test]
    fn a_line_has_a_device_and_a_rate() {
        let line: Line = "/dev/ttyUSB0:9600".parse().unwrap();
        assert_eq!((line.device.as_str(), line.baud), ("/dev/ttyUSB0", 9600));
        for wrong in ["", "/dev/ttyUSB0", ":9600", "/dev/ttyUSB0:fast", "x:0"] {
            assert!(wrong.parse::<Line>().is_err(), "{wrong}");
        }
    }
}
