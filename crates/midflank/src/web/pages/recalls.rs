//! Recalls kept as cases.

use maud::{Markup, html};
use metrology::units::Entered;
use workshop::gauge_room::case;

use super::reading_page;
use crate::failure::Failure;
use crate::report::verdict_word;
use crate::say;
use crate::web::app::App;
use crate::words;

pub fn page(app: &App) -> Result<Markup, Failure> {
    let all = case::all(&app.ledger)?;
    let title = say!("recall-case.page");
    let content = html! {
        h1 { (title) }
        p { (say!("recall-case.page-long")) }
        @if all.is_empty() { p class="soft" { (say!("recall-case.none")) } }
        @for (entry, case) in &all {
            section {
                h2 { (entry.id()) " · " (words::named("recalled-piece", &case.piece)) " " span translate="no" { (case.id) } }
                dl {
                    div { dt { (say!("recall-case.error")) } dd { (error(&case.error)) } }
                    div { dt { (say!("recall-case.found")) } dd { (case.found) } }
                    div { dt { (say!("recall-case.listed")) } dd { (case.listed) } }
                    div { dt { (say!("recall-case.left")) } dd { (case.open()) } }
                }
                div class="wide" tabindex="0" role="region" aria-label=(case.id) {
                    table {
                        tbody {
                            @for one in case.results.iter().take(ROWS) {
                                tr {
                                    td { a href=(format!("/record/{}", one.entry)) { (one.entry) } }
                                    td { (one.part.as_deref().unwrap_or_default()) ", " (one.characteristic.as_deref().unwrap_or_default()) }
                                    td { (verdict_word(&one.before)) " → " (verdict_word(&one.after)) }
                                    td {
                                        @match case.decision(&one.entry) {
                                            Some(decision) => { (words::named("recall-decision", &decision.decided)) " (" (decision.person) ")" }
                                            None => { (say!("recall-case.open")) }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    };
    Ok(reading_page(title, &content))
}

/// The error of a case, which is kept as it was typed, as pages write lengths.
fn error(typed: &str) -> String {
    Entered::parse(typed, None)
        .map_or_else(|_| typed.to_owned(), |error| words::number::entered(&error))
}

/// Results of a case on the page; the command line has all of them.
const ROWS: usize = 200;

#[cfg(test)]
mod tests {
    use super::error;

    #[test]
    fn an_error_is_written_with_a_space_before_its_unit() {
        assert_eq!(error("3um"), "3 µm");
    }
}
