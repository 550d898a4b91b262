//! `midflank identify`: which thread is this?

use std::path::Path;

use metrology::identify::{Prior, Shop};

use crate::desk;
use crate::failure::Failure;
pub use crate::look_up::identify::Arguments;
use crate::look_up::identify::{ShopOption, identified};
use crate::output::{Output, width};
use crate::report::identify::answer;
use crate::say;

pub fn run(
    arguments: &Arguments,
    ledger: Option<&Path>,
    output: &mut Output,
) -> Result<(), Failure> {
    if let Some(text) = &arguments.designation {
        return Err(Failure::input(say!("identify.is-known", text = text)));
    }
    let (evidence, document) = identified(arguments, &prior(arguments, ledger)?)?;
    if arguments.json {
        output.json(&document)
    } else {
        output.text(&answer(&evidence, &document, width()))
    }
}

fn prior(arguments: &Arguments, ledger: Option<&Path>) -> Result<Prior, Failure> {
    if arguments.flat_prior {
        return Ok(Prior::Shop(Shop::Flat));
    }
    Ok(match arguments.shop {
        None => Prior::Unstated,
        Some(ShopOption::Metric) => Prior::Shop(Shop::Metric),
        Some(ShopOption::Unified) => Prior::Shop(Shop::Unified),
        Some(ShopOption::British) => Prior::Shop(Shop::British),
        Some(ShopOption::Mixed) => Prior::Shop(Shop::Mixed),
        Some(ShopOption::Flat) => Prior::Shop(Shop::Flat),
        Some(ShopOption::Records) => Prior::Records(workshop::threads_on_record::threads(
            &desk::open_to_read(ledger)?,
        )?),
    })
}
