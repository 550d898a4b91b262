//! Comparison between persons or laboratories.

use super::error::StudyError;
use super::table::Table;

/// One participant against the reference.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    pub participant: String,
    /// Value less reference.
    pub difference: f64,
    /// E_n = (x − X)/√(U² + U_ref²); up to 1 in size the two agree within their expanded uncertainties.
    pub e_n: f64,
    /// Whether they do.
    pub agrees: bool,
}

/// From the columns `participant`, `value`, `expanded_uncertainty`, `reference` and `reference_expanded_uncertainty`.
///
/// Source: ISO/IEC 17043:2010, annex B.3.1.3 (from memory); both uncertainties with k = 2.
pub fn compare(text: &str) -> Result<Vec<Compared>, StudyError> {
    let columns = [
        "participant",
        "value",
        "expanded_uncertainty",
        "reference",
        "reference_expanded_uncertainty",
    ];
    let [participant, value, uncertainty, reference, of_reference] = columns;
    let table = Table::read(text, &columns)?;
    // In twice the digits of a double: where E_n is 1 by the decimals as they are written, it is 1.
    let values = table.numbers(value)?.into_iter();
    let references = table.numbers(reference)?;
    let differences = values
        .zip(references)
        .map(|(value, reference)| value - reference);
    let uncertainties = table.numbers(uncertainty)?;
    let of_references = table.numbers(of_reference)?;
    let mut compared = Vec::new();
    for ((((participant, difference), own), of_reference), line) in table
        .texts(participant)?
        .into_iter()
        .zip(differences)
        .zip(uncertainties)
        .zip(of_references)
        .zip(table.lines())
    {
        if own.value() <= 0.0 || of_reference.value() < 0.0 {
            return Err(StudyError::NoUncertainty { line });
        }
        let together = (own.squared() + of_reference.squared()).sqrt();
        let e_n = (difference / together).value();
        compared.push(Compared {
            participant,
            difference: difference.value(),
            e_n,
            agrees: e_n.abs() <= 1.0,
        });
    }
    Ok(compared)
}
