//! Words broken into lines.

use crate::error::Error;
use crate::font::{Fonts, Run};
use crate::words::Words;

/// A line of glyphs, in ems.
pub struct Line {
    /// The glyphs from left to right.
    pub runs: Vec<Run>,
    /// How wide they are together.
    pub width: f32,
}

/// What is not parted from the number before it.
const UNITS: [&str; 12] = [
    "mm", "in", "µm", "µin", "%", "°C", "K", "N", "±", "kPa", "HV", "mm²",
];

/// What is not parted: words between spaces, a number and its unit.
#[derive(Default)]
struct Atom {
    pieces: Vec<(bool, String)>,
    width: f32,
}

/// Lines no wider than so many ems.
pub fn lines(words: &Words, room: f32, fonts: &Fonts) -> Result<Vec<Line>, Error> {
    let mut lines = Vec::new();
    let mut line: Vec<(bool, String)> = Vec::new();
    let mut width = 0.0;
    let space = fonts.width(" ", false)?;
    for atom in atoms(words, room, fonts)? {
        if !line.is_empty() && width + space + atom.width > room {
            lines.push(set(&line, fonts)?);
            line.clear();
            width = 0.0;
        }
        if !line.is_empty() {
            // A space between plain and strong is plain.
            let starts_strong = atom.pieces.first().is_some_and(|(strong, _)| *strong);
            let is_strong = starts_strong && line.last().is_some_and(|(last, _)| *last);
            add(&mut line, is_strong, " ");
            width += space;
        }
        width += atom.width;
        for (strong, text) in &atom.pieces {
            add(&mut line, *strong, text);
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(set(&line, fonts)?);
    }
    Ok(lines)
}

/// The least width that parts no word, in ems, and the width on one line.
pub fn widths(words: &Words, fonts: &Fonts) -> Result<(f32, f32), Error> {
    let space = fonts.width(" ", false)?;
    let atoms = atoms(words, f32::INFINITY, fonts)?;
    let widest = atoms.iter().map(|atom| atom.width).fold(0.0, f32::max);
    let spaces = atoms.len().saturating_sub(1) as f32 * space;
    Ok((
        widest,
        atoms.iter().map(|atom| atom.width).sum::<f32>() + spaces,
    ))
}

fn add(line: &mut Vec<(bool, String)>, strong: bool, text: &str) {
    match line.last_mut() {
        Some((last, before)) if *last == strong => before.push_str(text),
        _ => line.push((strong, text.to_owned())),
    }
}

fn set(line: &[(bool, String)], fonts: &Fonts) -> Result<Line, Error> {
    let mut runs = Vec::new();
    for (strong, text) in line {
        runs.extend_from_slice(&fonts.shape(text, *strong)?);
    }
    let width = runs.iter().map(|run| run.width).sum();
    Ok(Line { runs, width })
}

fn atoms(words: &Words, room: f32, fonts: &Fonts) -> Result<Vec<Atom>, Error> {
    let mut atoms: Vec<Atom> = Vec::new();
    let mut joins = false;
    for (strong, text) in words.pieces() {
        for (index, word) in text.split([' ', '\n', '\t']).enumerate() {
            if index > 0 {
                joins = false;
            }
            if word.is_empty() {
                continue;
            }
            let after_number = atoms.last().is_some_and(|atom| {
                let last = atom.pieces.last().map(|(_, text)| text.as_str());
                last.is_some_and(|text| text.ends_with(|last: char| last.is_ascii_digit()))
            });
            let with_unit = !joins
                && after_number
                && UNITS.contains(&word.trim_end_matches(['.', ',', ';', ')']));
            match atoms.last_mut() {
                Some(atom) if joins || with_unit => {
                    if with_unit {
                        add(&mut atom.pieces, strong, "\u{A0}");
                    }
                    add(&mut atom.pieces, strong, word);
                }
                _ => atoms.push(Atom {
                    pieces: vec![(strong, word.to_owned())],
                    width: 0.0,
                }),
            }
            joins = true;
        }
        joins = !text.ends_with([' ', '\n', '\t']) && joins;
    }
    for atom in &mut atoms {
        for (strong, text) in &atom.pieces {
            atom.width += fonts.width(text, *strong)?;
        }
    }
    let mut fitting = Vec::new();
    for atom in atoms {
        if atom.width <= room {
            fitting.push(atom);
        } else {
            fitting.extend(parted(&atom, room, fonts)?);
        }
    }
    Ok(fitting)
}

/// A word that is wider than a line, in parts.
fn parted(atom: &Atom, room: f32, fonts: &Fonts) -> Result<Vec<Atom>, Error> {
    let mut parts = vec![Atom::default()];
    for (strong, text) in &atom.pieces {
        for character in text.chars() {
            let character = character.to_string();
            let width = fonts.width(&character, *strong)?;
            if let Some(last) = parts.last()
                && !last.pieces.is_empty()
                && last.width + width > room
            {
                parts.push(Atom::default());
            }
            if let Some(last) = parts.last_mut() {
                add(&mut last.pieces, *strong, &character);
                last.width += width;
            }
        }
    }
    Ok(parts)
}
