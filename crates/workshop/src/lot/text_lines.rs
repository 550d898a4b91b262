//! The lines of a file, read in blocks and looked at where they lie.

use std::fs::File;
use std::io::{self, Read as _, Take};
use std::ops::Range;

/// As much as is read at a time.
const BLOCK: usize = 1 << 16;

/// The lines of a part of a file.
pub struct TextLines {
    file: Take<File>,
    block: Vec<u8>,
    /// What of the block was not given out.
    rest: Range<usize>,
}

impl TextLines {
    pub fn of(file: Take<File>) -> Self {
        Self {
            file,
            block: vec![0; BLOCK],
            rest: 0..0,
        }
    }

    /// Where the next line lies in the block, with its end; empty at the end of the file. A line of more than `most` bytes is
    /// given out before its end was found.
    pub fn next(&mut self, most: usize) -> io::Result<Range<usize>> {
        let mut looked_at = 0;
        loop {
            let rest = self.block.get(self.rest.clone()).unwrap_or_default();
            let unseen = rest.get(looked_at..).unwrap_or_default();
            let end = memchr::memchr(b'\n', unseen).map(|end| looked_at + end + 1);
            if let Some(length) = end.or((rest.len() > most).then_some(rest.len())) {
                return Ok(self.give(length));
            }
            looked_at = rest.len();
            if self.read()? == 0 {
                return Ok(self.give(looked_at));
            }
        }
    }

    pub fn get(&self, line: Range<usize>) -> &[u8] {
        self.block.get(line).unwrap_or_default()
    }

    fn give(&mut self, length: usize) -> Range<usize> {
        let line = self.rest.start..self.rest.start + length;
        self.rest.start = line.end;
        line
    }

    /// Reads more behind what was not given out, which is moved to the front of the block; how much there was.
    fn read(&mut self) -> io::Result<usize> {
        self.block.copy_within(self.rest.clone(), 0);
        self.rest = 0..self.rest.len();
        if self.block.len() - self.rest.end < BLOCK / 2 {
            self.block.resize(self.block.len() + BLOCK, 0);
        }
        let room = self.block.get_mut(self.rest.end..).unwrap_or_default();
        loop {
            match self.file.read(room) {
                Ok(read) => {
                    self.rest.end += read;
                    return Ok(read);
                }
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::Write as _;

    use super::*;

    /// Lines shorter and longer than a block, blank ones, and a last one without its end.
    #[test]
    fn every_line_of_any_length_once() {
        let path = std::env::temp_dir().join(format!("midflank-lines-{}", std::process::id()));
        let lengths = [0, 1, 40, BLOCK - 1, BLOCK, 3 * BLOCK + 7, 2, 0, 90];
        let mut lines: Vec<String> = (lengths.iter().cycle().take(40).enumerate())
            .map(|(number, length)| format!("{number}{}\n", "x".repeat(*length)))
            .collect();
        lines.push("the last".to_owned());
        File::create(&path)
            .unwrap()
            .write_all(lines.concat().as_bytes())
            .unwrap();
        let mut read = TextLines::of(File::open(&path).unwrap().take(u64::MAX));
        for line in &lines {
            let found = read.next(usize::MAX).unwrap();
            assert_eq!(read.get(found), line.as_bytes());
        }
        assert!(read.next(usize::MAX).unwrap().is_empty());
        // One that is too long is given out as far as it was read.
        let mut read = TextLines::of(File::open(&path).unwrap().take(u64::MAX));
        let longest = loop {
            let found = read.next(BLOCK).unwrap();
            if read.get(found.clone()).last() != Some(&b'\n') {
                break found.len();
            }
        };
        assert!((BLOCK + 1..=3 * BLOCK).contains(&longest), "{longest}");
        std::fs::remove_file(path).unwrap();
    }
}
