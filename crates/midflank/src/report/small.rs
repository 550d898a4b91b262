//! Words folded to the width of the answers that explain.

use std::fmt::Display;

/// Words folded to the width of an answer.
pub fn paragraph(words: &str, width: usize) -> String {
    let mut text = wrap(words, width.clamp(40, WIDTH)).join("\n");
    text.push('\n');
    text
}

/// Words folded under a mark: `  - like this`.
pub fn item(words: &str, width: usize) -> String {
    indented("  - ", words, width)
}

/// Words folded beside what they explain.
pub fn indented(head: &str, words: &str, width: usize) -> String {
    let indent = " ".repeat(head.chars().count());
    let mut text = String::new();
    for (index, line) in wrap(words, width.clamp(40, WIDTH).saturating_sub(indent.len()))
        .iter()
        .enumerate()
    {
        text += if index == 0 { head } else { &indent };
        text += line;
        text.push('\n');
    }
    text
}

/// The same beside a head of so many columns.
pub fn headed(head: impl Display, columns: usize, words: &str, width: usize) -> String {
    indented(&format!("{head:<columns$}"), words, width)
}

/// The widest line.
pub const WIDTH: usize = 78;

/// Words folded into lines of at most `width` characters; a longer word stands alone.
pub fn wrap(words: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in words.split_whitespace() {
        let Some(last) = lines.last_mut() else { break };
        if !last.is_empty() && last.chars().count() + 1 + word.chars().count() > width {
            lines.push(word.to_owned());
        } else {
            if !last.is_empty() {
                last.push(' ');
            }
            last.push_str(word);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paragraphs_are_folded_under_their_mark() {
        assert_eq!(
            indented("ab ", &"word ".repeat(9), 40),
            "ab word word word word word word word\n   word word\n"
        );
    }
}
