//! Options that take what `given` checks.

use std::ffi::OsStr;

use clap::builder::TypedValueParser;
use clap::error::ErrorKind;
use clap::{Arg, Command, Error};
use metrology::message::Say;

use crate::given::{Range, Whole, on_one_line};
use crate::words;

/// An option that takes a number within its range.
#[derive(Clone, Copy, Debug)]
pub struct Within(pub Range);

/// An option that takes so many of something.
#[derive(Clone, Copy, Debug)]
pub struct Count(pub Whole);

/// An option that takes a text on one line.
#[derive(Clone, Copy, Debug)]
pub struct Line;

impl TypedValueParser for Within {
    type Value = f64;

    fn parse_ref(&self, _: &Command, option: Option<&Arg>, given: &OsStr) -> Result<f64, Error> {
        let text = given.to_string_lossy();
        self.0
            .read(&named(option), &text)
            .map_err(|error| refused(&error))
    }
}

impl TypedValueParser for Count {
    type Value = u32;

    fn parse_ref(&self, _: &Command, option: Option<&Arg>, given: &OsStr) -> Result<u32, Error> {
        let text = given.to_string_lossy();
        self.0
            .read(&named(option), &text)
            .map_err(|error| refused(&error))
    }
}

impl TypedValueParser for Line {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        option: Option<&Arg>,
        given: &OsStr,
    ) -> Result<String, Error> {
        let text = given
            .to_str()
            .ok_or_else(|| Error::new(ErrorKind::InvalidUtf8).with_cmd(command))?;
        on_one_line(&named(option), text).map_err(|error| refused(&error))?;
        Ok(text.to_owned())
    }
}

/// An option as it is written.
fn named(option: Option<&Arg>) -> String {
    option.map_or_else(String::new, |option| {
        option
            .get_long()
            .map_or_else(|| option.get_id().to_string(), |long| format!("--{long}"))
    })
}

fn refused(error: &impl Say) -> Error {
    let sentence = format!("{}\n", words::said(error));
    Error::raw(ErrorKind::ValueValidation, sentence)
}
