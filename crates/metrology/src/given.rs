//! Numbers that people give: finite, and within a stated range.

/// The least and the largest number that something may have, and their unit as it is written behind them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    pub from: f64,
    pub to: f64,
    /// The unit with the space before it.
    pub unit: &'static str,
}

crate::messages! {
    /// Why a number is not taken.
    pub enum NumberError "number-given" {
        /// It is none.
        NotANumber "none" { field: String as Text, text: String as Text, from: f64 as Given, to: f64 as Given, unit: String as Text },
        /// It is too small, too large or not finite.
        Outside "outside" { field: String as Text, text: String as Text, from: f64 as Given, to: f64 as Given, unit: String as Text },
        /// Part of something that there are wholes of.
        NotWhole "not-whole" { field: String as Text, text: String as Text },
    }
}

/// So many of something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Whole(pub Range);

impl Whole {
    /// Reads how many there are.
    pub fn read(&self, field: &str, text: &str) -> Result<u32, NumberError> {
        self.0.read(field, text)?;
        text.trim().parse().map_err(|_| NumberError::NotWhole {
            field: field.to_owned(),
            text: text.trim().to_owned(),
        })
    }
}

impl Range {
    /// From the least to the largest, both finite; the unit with the space before it.
    pub const fn new(from: f64, to: f64, unit: &'static str) -> Self {
        Self { from, to, unit }
    }

    /// Reads a number, with a point or a comma; `field` is the key, column or option that it was given as.
    pub fn read(&self, field: &str, text: &str) -> Result<f64, NumberError> {
        let text = text.trim();
        let parsed = text.replace(',', ".").replace('\u{2212}', "-").parse();
        // What is not finite is in no range.
        if let Ok(number) = parsed
            && (self.from..=self.to).contains(&number)
        {
            return Ok(number);
        }
        let (field, text) = (field.to_owned(), text.to_owned());
        let (from, to, unit) = (self.from, self.to, self.unit.to_owned());
        Err(match parsed {
            Ok(_) => NumberError::Outside {
                field,
                text,
                from,
                to,
                unit,
            },
            Err(_) => NumberError::NotANumber {
                field,
                text,
                from,
                to,
                unit,
            },
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finite_and_within_its_range() {
        let force = Range::new(0.5, 100.0, " N");
        assert_eq!(force.read("force", " 7,5 "), Ok(7.5));
        assert_eq!(force.read("force", "1e1"), Ok(10.0));
        let lobes = Whole(Range::new(2.0, 100.0, ""));
        assert_eq!(lobes.read("lobes", "3"), Ok(3));
        assert!(matches!(
            lobes.read("lobes", "3.5"),
            Err(NumberError::NotWhole { .. })
        ));
        assert!(matches!(
            lobes.read("lobes", "-3"),
            Err(NumberError::Outside { .. })
        ));
        for text in ["nan", "inf", "-inf", "1e308", "1e400", "-20", "0"] {
            let error = force.read("force", text);
            assert!(matches!(error, Err(NumberError::Outside { .. })), "{text}");
        }
        for text in ["", "seven", "7.5N", "1 000"] {
            let error = force.read("force", text);
            assert!(
                matches!(error, Err(NumberError::NotANumber { .. })),
                "{text}"
            );
        }
    }
}
