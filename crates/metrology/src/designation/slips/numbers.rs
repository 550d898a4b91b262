//! Slips in a size in inches: another sign in the place of the slash of a fraction, or none.
//!
//! `1.4-20` and `1-4-20` for 1/4-20, `38-16` for 3/8-16, `1 14-7` for 1 1/4-7. What comes out is a proposal; whoever asks sees
//! to it that a standard lists the thread.

use std::ops::Range;

/// The denominators of sizes in inches.
const DENOMINATORS: [u32; 6] = [2, 4, 8, 16, 32, 64];

/// Whole inches before a fraction: the series end at 6.
const MOST_INCHES: u32 = 6;

/// The texts with a fraction for the digits of the size.
pub(super) fn with_slash(text: &str) -> Vec<String> {
    let runs = digits(text);
    let run = |index: usize| runs.get(index).cloned();
    let piece = |place: &Range<usize>| text.get(place.clone()).unwrap_or("");
    let Some(first) = run(0) else {
        return Vec::new();
    };
    let head = text.get(..first.start).unwrap_or("");
    // Numbers that are no fractions: those of a number size, and millimetres.
    let of_another_kind = ["m", "mj", "tr", "no", "nr", "number", "ba"];
    let word = head.trim_end_matches(|letter: char| !letter.is_ascii_alphabetic());
    if head.contains('#')
        || of_another_kind
            .iter()
            .any(|kind| word.eq_ignore_ascii_case(kind))
    {
        return Vec::new();
    }
    let with = |size: &str, end: usize| {
        let rest = text.get(end..).unwrap_or("");
        let goes_on = rest.trim_start().starts_with(['/', '.', ',']);
        (!goes_on).then(|| format!("{head}{size}{rest}"))
    };
    let fraction = |a: &str, b: &str| is_fraction(a, b).then(|| format!("{a}/{b}"));
    let mut found = Vec::new();
    // Digits without a sign between them.
    for (a, b) in splits(piece(&first)) {
        found.extend(fraction(a, b).and_then(|size| with(&size, first.end)));
        for (whole, a) in splits(a) {
            let part = fraction(a, b).filter(|_| is_whole(whole));
            found.extend(part.and_then(|part| with(&format!("{whole} {part}"), first.end)));
        }
    }
    let Some(second) = run(1) else {
        return found;
    };
    let between = |a: &Range<usize>, b: &Range<usize>| text.get(a.end..b.start).unwrap_or("");
    let gap = between(&first, &second);
    let one = piece(&first);
    // `11/2` for 1 1/2, and `1/420` for 1/4-20.
    if gap.trim() == "/" {
        for (b, count) in splits(piece(&second)) {
            let size = fraction(one, b).map(|size| format!("{size}-{count}"));
            found.extend(size.and_then(|size| with(&size, second.end)));
        }
        for (whole, a) in splits(one) {
            let proper = is_proper(one, piece(&second));
            let part = fraction(a, piece(&second)).filter(|_| is_whole(whole) && !proper);
            found.extend(part.and_then(|part| with(&format!("{whole} {part}"), second.end)));
        }
    }
    if is_sign(gap) {
        let size = fraction(one, piece(&second));
        found.extend(size.and_then(|size| with(&size, second.end)));
    }
    if !is_whole(one) || !is_sign(gap) {
        return found;
    }
    // The fraction behind whole inches.
    for (a, b) in splits(piece(&second)) {
        let part = fraction(a, b);
        found.extend(part.and_then(|part| with(&format!("{one} {part}"), second.end)));
    }
    if let Some(third) = run(2) {
        let sign = between(&second, &third);
        let part = fraction(piece(&second), piece(&third));
        // `1.1/4` has its slash, and a point for the space.
        let part = part.filter(|_| is_sign(sign) || sign == "/");
        found.extend(part.and_then(|part| with(&format!("{one} {part}"), third.end)));
    }
    found
}

/// The text with the hyphen of a number size for another sign: `10/32` and `8.32` for 10-32 and 8-32.
pub(super) fn with_hyphen(text: &str) -> Option<String> {
    let runs = digits(text);
    let (first, second) = (runs.first()?, runs.get(1)?);
    let head = text.get(..first.start)?;
    let sign = text.get(first.end..second.start)?.trim();
    let is_number = head.trim().is_empty() || head.trim() == "#";
    let (number, count) = (text.get(first.clone())?, text.get(second.start..)?);
    // Without a series, a decimal number is a size of something else.
    let like = sign == "/" || count.contains(|sign: char| sign.is_ascii_alphabetic());
    let is_number = is_number && like && ["/", ".", ",", ":"].contains(&sign);
    is_number.then(|| format!("{head}{number}-{count}"))
}

/// The text without blanks in a number and without doubled signs: `1 /4`, `1. 75`, `2 0`, `2 G`, `1..5`, `--`.
pub(super) fn without_doubled(text: &str) -> Vec<String> {
    let mut single: Vec<char> = Vec::new();
    for letter in text.trim().chars() {
        let doubled = single.last() == Some(&letter) && ".,-/xX\u{d7} ".contains(letter);
        if !doubled {
            single.push(letter);
        }
    }
    let all: String = single.iter().collect();
    // A blank between digits, or on either side of a point or a slash that digits go with, or before the letter of a class.
    let signs = |at: usize| single.get(at).copied();
    let blank = |at: usize| signs(at) == Some(' ');
    let digit = |at: Option<usize>| at.and_then(signs).is_some_and(|sign| sign.is_ascii_digit());
    let point = |at: Option<usize>| at.and_then(signs).is_some_and(|sign| "./".contains(sign));
    let class = |at: usize| {
        let letter = signs(at).is_some_and(|letter| letter.is_ascii_alphabetic());
        letter && !signs(at + 1).is_some_and(|next| next.is_ascii_alphanumeric())
    };
    let blanks: Vec<usize> = (0..single.len())
        .filter(|&at| {
            let (before, behind) = (at.checked_sub(1), Some(at + 1));
            let in_number = (digit(before) && (point(behind) || digit(behind)))
                || (point(before) && digit(behind));
            blank(at) && (in_number || (digit(before) && class(at + 1)))
        })
        .collect();
    let without = |blanks: &[usize]| -> String {
        let kept = single.iter().enumerate();
        kept.filter(|(at, _)| !blanks.contains(at))
            .map(|(_, letter)| letter)
            .collect()
    };
    let mut found = vec![without(&blanks)];
    found.extend(blanks.iter().map(|blank| without(&[*blank])));
    found.insert(0, all);
    found.retain(|found| found != text);
    found
}

/// The text with each doubled digit once: `5/88-11`.
pub(super) fn with_single_digits(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let doubled = |at: &usize| {
        let before = at.checked_sub(1).and_then(|before| letters.get(before));
        letters.get(*at).is_some_and(char::is_ascii_digit) && letters.get(*at) == before
    };
    let without = |at: usize| {
        let kept = letters
            .iter()
            .enumerate()
            .filter(move |(place, _)| *place != at);
        kept.map(|(_, letter)| letter).collect()
    };
    (0..letters.len()).filter(doubled).map(without).collect()
}

/// The text with an x before the pitch of a metric thread and a hyphen before its class, for other signs: `M12/1.25`, `M12x1.25.6g`.
pub(super) fn with_signs(text: &str) -> Vec<String> {
    let metric = ["M", "m", "Tr", "TR", "tr"];
    let metric = metric
        .iter()
        .any(|symbol| text.trim_start().starts_with(symbol));
    let beside = |from: usize| {
        let before = text
            .get(..from)
            .and_then(|before| before.chars().next_back());
        let behind = text
            .get(from + 1..)
            .and_then(|behind| behind.chars().next());
        // In a size in inches a sign stands for a hyphen behind the series only.
        let before = before.is_some_and(|sign| {
            if metric {
                sign.is_ascii_digit()
            } else {
                sign.is_ascii_alphabetic()
            }
        });
        before && behind.is_some_and(|sign| sign.is_ascii_alphanumeric() || sign == ' ')
    };
    let at = |from: usize, sign: char, with: &str| {
        let (before, behind) = (text.get(..from), text.get(from + sign.len_utf8()..));
        before
            .zip(behind)
            .map(|(before, behind)| format!("{before}{with}{behind}"))
    };
    // A class that is written onto the pitch, or behind an x: `M14x26g`, `M12x1.75x6g`.
    let class = |at: usize| {
        let behind = text.as_bytes().get(at..).unwrap_or(&[]);
        matches!(behind, [b'3'..=b'9', b'a'..=b'h' | b'G' | b'H', rest @ ..] if !rest.first().is_some_and(u8::is_ascii_alphabetic))
    };
    let with_class = text
        .char_indices()
        .filter(|(at, _)| metric && class(*at))
        .filter_map(|(at, _)| {
            let (before, behind) = text.split_at_checked(at)?;
            let stem = match before.strip_suffix(['x', 'X']) {
                // `M10x6g` has no pitch.
                Some(stem) if !stem.contains(['x', 'X']) => return None,
                stem => stem.unwrap_or(before),
            };
            stem.ends_with(|sign: char| sign.is_ascii_digit())
                .then(|| format!("{stem}-{behind}"))
        });
    // The one decimal sign of a pitch is none between pitch and class: `M10x1.5 G` is not `M10x1-5G`.
    let of_pitch = |from: usize| {
        let in_number = |sign: char| sign.is_ascii_digit() || ".,".contains(sign);
        let before = text.get(..from).unwrap_or("");
        let start = before.trim_end_matches(in_number).len();
        let behind = text.get(start..).unwrap_or("");
        let end = behind.find(|sign| !in_number(sign));
        let number = behind.get(..end.unwrap_or(behind.len())).unwrap_or("");
        let crossed = before.get(..start).unwrap_or("").trim_end();
        let signs = number.matches(['.', ',']).count();
        metric && signs == 1 && crossed.ends_with(['x', 'X', '\u{d7}'])
    };
    let others = text
        .char_indices()
        .filter(|(_, sign)| ".,/:;".contains(*sign));
    others
        .filter(|(from, sign)| beside(*from) && !(".,".contains(*sign) && of_pitch(*from)))
        .flat_map(|(from, sign)| ["x", "-"].map(|with| at(from, sign, with)))
        .flatten()
        .chain(with_class)
        .collect()
}

/// The places of all runs of digits.
fn digits(text: &str) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (at, letter) in text.char_indices() {
        if !letter.is_ascii_digit() {
            continue;
        }
        match runs.last_mut() {
            Some(run) if run.end == at => run.end = at + 1,
            _ => runs.push(at..at + 1),
        }
    }
    runs
}

/// Every way to cut digits in two.
fn splits(digits: &str) -> impl Iterator<Item = (&str, &str)> {
    (1..digits.len()).filter_map(|at| digits.split_at_checked(at))
}

/// One sign that stands in the place of a slash, with spaces around it, or spaces alone.
fn is_sign(gap: &str) -> bool {
    let sign = gap.trim();
    !gap.is_empty()
        && sign.chars().count() <= 1
        && sign.chars().all(|sign| ".,-:;\\|_\u{2013}".contains(sign))
}

fn is_fraction(a: &str, b: &str) -> bool {
    let number = |text: &str| text.parse::<u32>().ok().filter(|_| !text.starts_with('0'));
    matches!((number(a), number(b)), (Some(a), Some(b)) if a % 2 == 1 && a < b && DENOMINATORS.contains(&b))
}

/// Whether a fraction is less than one.
fn is_proper(a: &str, b: &str) -> bool {
    matches!((a.parse::<u32>(), b.parse::<u32>()), (Ok(a), Ok(b)) if a < b)
}

/// Whether a text has a fraction that no size is written as: `2/4`, `11/44`, `5/4`.
pub(super) fn has_odd_fraction(text: &str) -> bool {
    let runs = digits(text);
    let pairs = runs.iter().zip(runs.iter().skip(1));
    let piece = |place: &Range<usize>| text.get(place.clone()).unwrap_or("");
    let mut fractions = pairs.filter(|(a, b)| text.get(a.end..b.start) == Some("/"));
    fractions.any(|(a, b)| !is_fraction(piece(a), piece(b)))
}

fn is_whole(digits: &str) -> bool {
    let whole = digits.parse::<u32>();
    whole.is_ok_and(|whole| (1..=MOST_INCHES).contains(&whole))
}
