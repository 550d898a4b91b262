//! Where something stands in a file: its line and column, its section and its key.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Line and column of a byte, both from 1; columns count letters.
pub fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let before = text.get(..offset).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .unwrap_or_default()
        .chars()
        .count()
        + 1;
    (line, column)
}

/// Section and key of what stands at a byte, such as `measure.keyseat` and `width`; a section has no key.
pub fn named(text: &str, offset: usize) -> (Option<String>, Option<String>) {
    let Ok(table) = DeTable::parse(text) else {
        return (None, None);
    };
    let mut path = Vec::new();
    let Some(is_section) = find(table.get_ref(), offset, &mut path) else {
        return (None, None);
    };
    let field = if is_section { None } else { path.pop() };
    let section = (!path.is_empty()).then(|| path.join("."));
    (section, field)
}

/// The path to what stands at a byte, and whether it is a section.
fn find(table: &DeTable<'_>, offset: usize, path: &mut Vec<String>) -> Option<bool> {
    for (key, value) in table {
        path.push(key.get_ref().to_string());
        let inner = tables(value).find_map(|table| find(table, offset, path));
        if inner.is_some() {
            return inner;
        }
        if key.span().contains(&offset) || value.span().contains(&offset) {
            return Some(tables(value).next().is_some());
        }
        path.pop();
    }
    None
}

/// The table that a value is, or the tables that it has.
fn tables<'a, 'd>(value: &'a Spanned<DeValue<'d>>) -> impl Iterator<Item = &'a DeTable<'d>> {
    let one = value.get_ref().as_table();
    let several = value
        .get_ref()
        .as_array()
        .into_iter()
        .flat_map(|items| items.iter());
    one.into_iter()
        .chain(several.filter_map(|item| item.get_ref().as_table()))
}

/// The byte at which a section begins; the beginning of the file where there is none of that name.
pub fn of_section(text: &str, section: &str) -> usize {
    fn start(table: &DeTable<'_>, section: &str) -> Option<usize> {
        let (name, rest) = section
            .split_once('.')
            .map_or((section, None), |(name, rest)| (name, Some(rest)));
        let (key, value) = table.iter().find(|(key, _)| key.get_ref() == name)?;
        match rest {
            Some(rest) => tables(value).find_map(|table| start(table, rest)),
            None => Some(key.span().start),
        }
    }
    DeTable::parse(text)
        .ok()
        .and_then(|table| start(table.get_ref(), section))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "unit = \"mm\"\n[measure]\nname = \"µ\"\n[measure.keyseat]\nwidth = \"4\"\n\
                        [[readings.place]]\nangle = 1\n[[readings.place]]\nvalues = [1, 2]\n";

    fn at(what: &str) -> usize {
        FILE.find(what).unwrap()
    }

    #[test]
    fn sections_and_keys() {
        let named = |what| named(FILE, at(what));
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(named("unit"), (None, some("unit")));
        assert_eq!(named("\"µ"), (some("measure"), some("name")));
        assert_eq!(named("\"4"), (some("measure.keyseat"), some("width")));
        assert_eq!(named("2]"), (some("readings.place"), some("values")));
        assert_eq!(named("measure]"), (some("measure"), None));
    }

    #[test]
    fn lines_and_columns() {
        assert_eq!(line_and_column(FILE, at("\"µ") + 3), (3, 10));
        assert_eq!(
            line_and_column(FILE, of_section(FILE, "measure.keyseat")).0,
            4
        );
        assert_eq!(
            line_and_column(FILE, of_section(FILE, "readings.place")).0,
            6
        );
        assert_eq!(of_section(FILE, "zero"), 0);
    }
}
