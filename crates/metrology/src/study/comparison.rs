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
    let differences: Vec<f64> = table
        .numbers(value)?
        .into_iter()
        .zip(table.numbers(reference)?)
        .map(|(value, reference)| (value - reference).value())
        .collect();
    let uncertainties = table.values(uncertainty)?;
    let of_references = table.values(of_reference)?;
    let mut compared = Vec::new();
    for ((((participant, difference), own), of_reference), line) in table
        .texts(participant)?
        .into_iter()
        .zip(differences)
        .zip(uncertainties)
        .zip(of_references)
        .zip(table.lines())
    {
        if own <= 0.0 || of_reference < 0.0 {
            return Err(StudyError::NoUncertainty { line });
        }
        let e_n = difference / (own * own + of_reference * of_reference).sqrt();
        compared.push(Compared {
            participant,
            difference,
            e_n,
            agrees: e_n.abs() <= 1.0,
        });
    }
    Ok(compared)
}
