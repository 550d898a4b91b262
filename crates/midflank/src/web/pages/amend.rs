//! The form that puts a record right.

use maud::{Markup, html};
use serde::Deserialize;

use super::field::{Fault, Field, above, checked};
use super::reading_page;
use super::record::named;
use crate::bench::words as bench_words;
use crate::failure::Failure;
use crate::say;
use crate::web::app::App;
use crate::web::words;

/// What was typed.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    pub token: String,
    pub reason: String,
    pub person: String,
    /// The text of the job file that holds instead; empty where nothing does.
    pub job: String,
    /// Set where it is another part or another characteristic on purpose.
    pub other_part: String,
}

/// The page of the form; none where no entry goes by that name.
pub fn page(
    app: &App,
    name: &str,
    asked: &Asked,
    wrong: Option<&str>,
    faults: &[Fault],
) -> Result<Option<Markup>, Failure> {
    let Some(entry) = named(app, name)? else {
        return Ok(None);
    };
    let id = entry.id();
    let title = say!("page.amend-title", entry = id);
    // The focus begins at what is wrong, and without that at the reason.
    let begins = wrong.is_none() && faults.is_empty();
    let field = |key, label| {
        let field = checked(key, label, faults);
        let first = field.first || begins && key == "reason";
        Field { first, ..field }
    };
    let content = html! {
        h1 { (title) }
        p { (say!("page.amend-long")) }
        @if entry.amended_by.is_some() { p class="doubt" { (say!("page.amend-amended")) } }
        form class="describe" method="post" action=(format!("/record/{id}/amend")) autocomplete="off" {
            input type="hidden" name="token" value=(app.token);
            (above(wrong, faults.len()))
            div class="fields" {
                @for (key, label, value) in [("reason", words::reason_to_amend(), &asked.reason), ("person", bench_words::person(), &asked.person)] {
                    div { (Field { needed: true, ..field(key, label) }.line(value)) }
                }
            }
            div class="job-text" {
                (field("job", say!("page.amend-job")).lines(&asked.job, 10))
                label class="check" { input type="checkbox" name="other_part" value="yes" checked[!asked.other_part.is_empty()]; " " (say!("page.amend-other-part")) }
            }
            p { button { (say!("page.amend-record")) } }
        }
        p { a href=(format!("/record/{id}")) { (say!("page.to-the-record", entry = id)) } }
    };
    Ok(Some(reading_page(&title, &content)))
}
