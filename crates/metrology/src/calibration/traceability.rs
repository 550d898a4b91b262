//! What a certificate says of itself, and whether its values can be traced.

use jiff::civil::Date;

crate::codes! {
    /// How the values of a certificate are traced.
    pub enum Traceability "traceability" {
        /// By a laboratory that an accreditation body has accredited.
        Accredited "accredited",
        /// By a national metrology institute.
        NationalInstitute "national-institute",
        /// In house, by standards whose own certificates are named.
        InHouse "in-house",
        /// Not shown.
        NotShown "not-shown",
    }
}

/// Who accredited a laboratory, and under which number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accreditation {
    /// The accreditation body.
    pub body: String,
    /// The number of the accreditation.
    pub number: String,
}

/// What a certificate says beside its values.
#[derive(Clone, Debug, PartialEq)]
pub struct Certificate {
    /// Who issued it.
    pub issuer: String,
    /// Of an accredited laboratory.
    pub accreditation: Option<Accreditation>,
    /// Whether a national metrology institute issued it.
    pub national_institute: bool,
    /// In house: the certificates of the standards that were used.
    pub chain: Vec<String>,
    pub number: String,
    pub date: Date,
    pub procedure: Option<String>,
    /// Under which conditions.
    pub conditions: Option<String>,
}

impl Certificate {
    /// How it is traced: the strongest that it shows.
    pub fn traceability(&self) -> Traceability {
        if self.national_institute {
            Traceability::NationalInstitute
        } else if self.accreditation.is_some() {
            Traceability::Accredited
        } else if self.chain.is_empty() {
            Traceability::NotShown
        } else {
            Traceability::InHouse
        }
    }

    /// The one sentence that a report has on it.
    pub fn traced(&self) -> Traced {
        let (issuer, number, date) = (self.issuer.clone(), self.number.clone(), self.date);
        match (&self.accreditation, self.traceability()) {
            (_, Traceability::NationalInstitute) => Traced::NationalInstitute {
                issuer,
                number,
                date,
            },
            (Some(accreditation), _) => Traced::Accredited {
                issuer,
                number,
                date,
                body: accreditation.body.clone(),
                accreditation: accreditation.number.clone(),
            },
            (None, Traceability::InHouse) => Traced::InHouse {
                issuer,
                number,
                date,
                chain: self.chain.clone(),
            },
            (None, _) => Traced::NotShown {
                issuer,
                number,
                date,
            },
        }
    }
}

crate::messages! {
    /// The sentence on traceability.
    pub enum Traced "traced" {
        /// An accredited laboratory.
        Accredited "accredited" { issuer: String as Text, number: String as Text, date: Date as Date, body: String as Text, accreditation: String as Text },
        /// A national institute.
        NationalInstitute "national-institute" { issuer: String as Text, number: String as Text, date: Date as Date },
        /// In house.
        InHouse "in-house" { issuer: String as Text, number: String as Text, date: Date as Date, chain: Vec<String> as texts },
        /// Not shown: a warning.
        NotShown "not-shown" { issuer: String as Text, number: String as Text, date: Date as Date },
    }
}

impl Traced {
    /// Whether it is a warning.
    pub const fn is_warning(&self) -> bool {
        matches!(self, Self::NotShown { .. })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn each_case_has_its_own_sentence() {
        let mut certificate = Certificate {
            issuer: "gauge room".to_owned(),
            accreditation: None,
            national_institute: false,
            chain: Vec::new(),
            number: "K-7".to_owned(),
            date: date(2026, 3, 1),
            procedure: None,
            conditions: None,
        };
        assert!(certificate.traced().is_warning());
        certificate.chain.push("B-2".to_owned());
        assert_eq!(certificate.traceability(), Traceability::InHouse);
        certificate.accreditation = Some(Accreditation {
            body: "body".to_owned(),
            number: "12".to_owned(),
        });
        assert_eq!(certificate.traced().code(), "traced.accredited");
        certificate.national_institute = true;
        assert_eq!(certificate.traced().code(), "traced.national-institute");
    }
}
