//! The lines of a file, read in blocks and looked at where they lie.

use std::fs::File;
use std::io::{self, Read as _, Take};
use std::ops::Range;

/// As much as is read at a time.
const BLOCK: usize = 1 << 16;

/// The lines of a part of a file.
pub struct TextLines {
    file: Take<File>,
    /// Whole lines.
    text: String,
    /// Where the next line begins in it.
    next: usize,
    signs: Signs,
    /// What was read behind the text: the beginning of a line.
    rest: Vec<u8>,
    /// The line with which the rest begins is no text.
    broken: bool,
}

/// A line.
#[derive(Debug, PartialEq, Eq)]
pub enum Line {
    /// Where it lies in the text, with its end.
    Text(Range<usize>),
    /// It is no text from that character on, counted from 1.
    NotText(usize),
    /// It is longer than was asked for.
    TooLong,
}

/// What stands in a block, so that not every line has to be searched for it.
#[derive(Clone, Copy, Default)]
struct Signs {
    /// Something else than ends of lines, tabs, and printable ASCII without quotation marks.
    other: bool,
    tabs: bool,
}

impl Signs {
    fn of(bytes: &[u8]) -> Self {
        // Numbers without a branch, of which many bytes are taken at a time.
        let (other, tabs) = bytes.iter().fold((0, 0), |(other, tabs), byte| {
            let printable = u8::from(matches!(byte, b' '..=b'~')) & u8::from(*byte != b'"');
            let end_or_tab = u8::from(matches!(byte, b'\n' | b'\r' | b'\t'));
            let tab = u8::from(*byte == b'\t');
            (other | (1 ^ (printable | end_or_tab)), tabs | tab)
        });
        let mut signs = Self {
            other: other != 0,
            tabs: tabs != 0,
        };
        let mut returns = memchr::memchr_iter(b'\r', bytes);
        signs.other |= returns.any(|at| bytes.get(at + 1) != Some(&b'\n'));
        signs
    }
}

impl TextLines {
    pub const fn of(file: Take<File>) -> Self {
        Self {
            file,
            text: String::new(),
            next: 0,
            signs: Signs {
                other: false,
                tabs: false,
            },
            rest: Vec::new(),
            broken: false,
        }
    }

    /// The next line; none at the end of the file.
    pub fn next(&mut self, most: usize) -> io::Result<Option<Line>> {
        loop {
            let unread = self.text.as_bytes().get(self.next..).unwrap_or_default();
            if !unread.is_empty() {
                let end = memchr::memchr(b'\n', unread);
                let length = end.map_or(unread.len(), |end| end + 1);
                let line = self.next..self.next + length;
                self.next = line.end;
                return Ok(Some(Line::Text(line)));
            }
            if self.broken {
                let valid = match std::str::from_utf8(&self.rest) {
                    Ok(_) => self.rest.len(),
                    Err(error) => error.valid_up_to(),
                };
                let good = self.rest.get(..valid).unwrap_or_default();
                let good = String::from_utf8_lossy(good).chars().count();
                return Ok(Some(Line::NotText(good + 1)));
            }
            let Some(bytes) = self.read(most)? else {
                return Ok(Some(Line::TooLong));
            };
            if bytes.is_empty() {
                return Ok(None);
            }
            self.put(bytes);
        }
    }

    pub fn get(&self, line: Range<usize>) -> &str {
        self.text.get(line).unwrap_or_default()
    }

    /// Whether all of the block is printable ASCII without quotation marks, and without tabs where these do not separate fields.
    pub const fn is_plain(&self, tabs_separate: bool) -> bool {
        !self.signs.other && (tabs_separate || !self.signs.tabs)
    }

    /// The whole lines of the next block, in the room of this; none where a line is longer than so many bytes.
    fn read(&mut self, most: usize) -> io::Result<Option<Vec<u8>>> {
        let mut bytes = std::mem::take(&mut self.text).into_bytes();
        bytes.clear();
        self.next = 0;
        bytes.append(&mut self.rest);
        loop {
            let from = bytes.len();
            bytes.resize(from + BLOCK, 0);
            let read = loop {
                match self.file.read(bytes.get_mut(from..).unwrap_or_default()) {
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                    read => break read?,
                }
            };
            bytes.truncate(from + read);
            if read == 0 {
                return Ok(Some(bytes));
            }
            let new = bytes.get(from..).unwrap_or_default();
            if let Some(end) = memchr::memrchr(b'\n', new) {
                let whole = from + end + 1;
                self.rest
                    .extend_from_slice(bytes.get(whole..).unwrap_or_default());
                bytes.truncate(whole);
                return Ok(Some(bytes));
            }
            if bytes.len() > most {
                return Ok(None);
            }
        }
    }

    /// Takes a block, up to the first line that is no text.
    fn put(&mut self, bytes: Vec<u8>) {
        self.signs = Signs::of(&bytes);
        self.text = match String::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => {
                let valid = error.utf8_error().valid_up_to();
                let mut bytes = error.into_bytes();
                let good = bytes.get(..valid).unwrap_or_default();
                let whole = memchr::memrchr(b'\n', good).map_or(0, |end| end + 1);
                let mut rest = bytes.split_off(whole);
                rest.append(&mut self.rest);
                self.rest = rest;
                self.broken = true;
                String::from_utf8(bytes).unwrap_or_default()
            }
        };
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;
    use std::path::PathBuf;

    use super::*;

    fn written(name: &str, bytes: &[u8]) -> PathBuf {
        let name = format!("midflank-{name}-{}", std::process::id());
        let path = std::env::temp_dir().join(name);
        File::create(&path).unwrap().write_all(bytes).unwrap();
        path
    }

    fn open(path: &PathBuf) -> TextLines {
        TextLines::of(File::open(path).unwrap().take(u64::MAX))
    }

    /// Lines shorter and longer than a block, blank ones, and a last one without its end.
    #[test]
    fn every_line_of_any_length_once() {
        let lengths = [0, 1, 40, BLOCK - 1, BLOCK, 3 * BLOCK + 7, 2, 0, 90];
        let mut lines: Vec<String> = (lengths.iter().cycle().take(40).enumerate())
            .map(|(number, length)| format!("{number}{}\n", "x".repeat(*length)))
            .collect();
        lines.push("the last".to_owned());
        let path = written("lines", lines.concat().as_bytes());
        let mut read = open(&path);
        for line in &lines {
            let Some(Line::Text(found)) = read.next(usize::MAX).unwrap() else {
                panic!("{line}");
            };
            assert_eq!(read.get(found), line);
        }
        assert_eq!(read.next(usize::MAX).unwrap(), None);
        // One that is longer than is taken.
        let mut read = open(&path);
        let long = loop {
            match read.next(BLOCK).unwrap() {
                Some(Line::Text(found)) => assert!(found.len() <= 2 * BLOCK, "{found:?}"),
                other => break other,
            }
        };
        assert_eq!(long, Some(Line::TooLong));
        std::fs::remove_file(path).unwrap();
    }

    /// What stands before a line that is no text is read; that line is told by the character.
    #[test]
    fn text_up_to_where_it_ends() {
        let mut bytes = "a,b\n".repeat(BLOCK / 2).into_bytes();
        bytes.extend("ä,".bytes());
        bytes.extend([0xff, b'\n']);
        bytes.extend(b"c,d\n");
        let path = written("no-text", &bytes);
        let mut read = open(&path);
        for line in 0..BLOCK / 2 {
            let found = read.next(usize::MAX).unwrap();
            assert!(matches!(found, Some(Line::Text(_))), "{line}");
        }
        assert_eq!(read.next(usize::MAX).unwrap(), Some(Line::NotText(3)));
        std::fs::remove_file(path).unwrap();
    }

    #[test]
    fn plain_blocks_have_nothing_that_needs_a_closer_look() {
        let plain = |text: &str, tabs| {
            let mut lines = open(&written("plain", text.as_bytes()));
            lines.next(usize::MAX).unwrap();
            lines.is_plain(tabs)
        };
        assert!(plain("a b,~1\r\n\n", false));
        assert!(plain("a\tb\n", true));
        for text in [
            "a\tb\n",
            "a\rb\n",
            "a\"b\n",
            "ä\n",
            "a\u{7f}\n",
            "a\u{1b}\n",
            "a\r",
        ] {
            assert!(!plain(text, false), "{text:?}");
        }
        std::fs::remove_file(written("plain", b"")).unwrap();
    }
}
