//! Options that tell what a feature is, as its table has them.

use std::collections::BTreeMap;

use clap::{Arg, ArgMatches, Args, Command, Error, FromArgMatches};
use metrology::features::{Flag, Holds, Key, Lacking, Values};
use metrology::inspection::{Feature, FeatureKind};
use metrology::units::{Entered, LengthUnit};

use crate::failure::Failure;
use crate::given::{Range, Whole};
use crate::look_up::thread::entered;
use crate::option::{Count, Within};
use crate::{say, words};

/// What was told, by the names of the options.
#[derive(Clone, Debug, Default)]
pub struct Told(BTreeMap<&'static str, Given>);

/// The value of an option.
#[derive(Clone, Debug)]
enum Given {
    Text(String),
    Number(f64),
    Count(u32),
}

/// Every option once, in the order of features, with what it tells.
fn options() -> Vec<(&'static Flag, &'static Key)> {
    let mut all: Vec<(&Flag, &Key)> = Vec::new();
    for kind in FeatureKind::EVERY {
        for flag in kind.options() {
            let key = kind.keys().iter().find(|key| key.name == flag.key);
            let is_new = all.iter().all(|(other, _)| other.option != flag.option);
            if let Some(key) = key.filter(|_| !flag.option.is_empty() && is_new) {
                all.push((flag, key));
            }
        }
    }
    all
}

/// An option as the command line has it.
fn option(flag: &'static Flag, key: &'static Key) -> Arg {
    let value = words::known(&format!("setup-value.{}", flag.option));
    let arg = Arg::new(flag.option)
        .long(flag.option)
        .value_name(value.unwrap_or_default());
    let arg = match flag.not_with {
        Some(other) => arg.conflicts_with(other),
        None => arg,
    };
    match key.holds {
        Holds::Number(range) => arg.allow_hyphen_values(true).value_parser(Within(range)),
        Holds::Count(range) => arg
            .allow_hyphen_values(true)
            .value_parser(Count(Whole(range))),
        _ => arg,
    }
}

impl Args for Told {
    fn augment_args(command: Command) -> Command {
        command.args(options().into_iter().map(|(flag, key)| option(flag, key)))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Told {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        let value = |(flag, key): (&'static Flag, &Key)| {
            let name = flag.option;
            let given = match key.holds {
                Holds::Number(_) => matches.get_one(name).copied().map(Given::Number),
                Holds::Count(_) => matches.get_one(name).copied().map(Given::Count),
                _ => matches.get_one::<String>(name).cloned().map(Given::Text),
            };
            Some((name, given?))
        };
        Ok(Self(options().into_iter().filter_map(value).collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl Told {
    /// The feature that was told, as people named it; `limit` is one of its limits.
    pub fn feature(
        &self,
        name: &str,
        kind: FeatureKind,
        limit: Option<&Entered>,
    ) -> Result<Feature, Failure> {
        let mut values = OfFeature {
            told: self,
            name,
            kind,
            limit,
        };
        Feature::read(kind, &mut values)
    }
}

/// The values of one feature.
struct OfFeature<'a> {
    told: &'a Told,
    name: &'a str,
    kind: FeatureKind,
    limit: Option<&'a Entered>,
}

impl OfFeature<'_> {
    fn told_by(&self, key: &Key) -> Option<&'static Flag> {
        let mut flags = self.kind.options().iter();
        flags.find(|flag| flag.key == key.name)
    }

    fn given(&self, key: &Key) -> Option<&Given> {
        self.told.0.get(self.told_by(key)?.option)
    }

    /// What is taken where nothing was told.
    fn assumed(&self, key: &Key) -> Option<&'static str> {
        let flag = self.told_by(key)?;
        let with = flag.with;
        let with = with.filter(|(option, _)| self.told.0.contains_key(option));
        with.map(|(_, value)| value).or(flag.assumed)
    }
}

fn parsed(text: &str) -> Result<Entered, Failure> {
    Entered::parse(text, None).map_err(|error| Failure::refused(&error))
}

impl Values for OfFeature<'_> {
    type Error = Failure;

    fn length(&mut self, key: &Key) -> Result<Option<Entered>, Failure> {
        let option = self.told_by(key).map_or("", |flag| flag.option);
        match self.given(key) {
            Some(Given::Text(text)) => entered(&format!("--{option}"), text).map(Some),
            _ => self.assumed(key).map(parsed).transpose(),
        }
    }

    /// Nothing was read yet; the last digit of a reading is one step of a usual display.
    fn lengths(&mut self, key: &Key) -> Result<Option<Vec<Entered>>, Failure> {
        let shown = match self.limit.map(Entered::unit) {
            Some(LengthUnit::Inch | LengthUnit::Microinch) => "0.0000in",
            _ => "0.000mm",
        };
        let readings = self.assumed(key).map(|_| Ok(vec![parsed(shown)?; 3]));
        readings.transpose()
    }

    fn number(&mut self, key: &Key, range: Range) -> Result<Option<f64>, Failure> {
        match self.given(key) {
            Some(Given::Number(number)) => Ok(Some(*number)),
            _ => self
                .assumed(key)
                .map(|text| range.read(key.name, text))
                .transpose()
                .map_err(|error| Failure::refused(&error)),
        }
    }

    fn count(&mut self, key: &Key, _range: Range) -> Result<Option<u32>, Failure> {
        Ok(match self.given(key) {
            Some(Given::Count(count)) => Some(*count),
            _ => None,
        })
    }

    fn bounds(&mut self, _key: &Key, _range: Range) -> Result<Option<[f64; 2]>, Failure> {
        Ok(None)
    }

    fn text(&mut self, key: &Key) -> Result<Option<String>, Failure> {
        let text = match self.given(key) {
            Some(Given::Text(text)) => text.clone(),
            _ => match self.assumed(key) {
                Some(text) => text.to_owned(),
                None => return Ok(None),
            },
        };
        if let Some(check) = key.check {
            check(&text).map_err(|wrong| Failure::refused(&wrong))?;
        }
        Ok(match key.holds {
            // What is none of the codes is as good as nothing: the answer names them.
            Holds::Code(codes, _) if !codes.contains(&&*text) => None,
            _ => Some(text),
        })
    }

    fn texts(&mut self, _key: &Key) -> Result<Option<Vec<String>>, Failure> {
        Ok(None)
    }

    fn section(&mut self, _key: &Key) -> Result<Option<Self>, Failure> {
        Ok(None)
    }

    fn missing(&self, key: &Key) -> Failure {
        let flag = self.told_by(key);
        let option = flag.map_or("", |flag| flag.option);
        Failure::Input(match flag.and_then(|flag| flag.lacking) {
            Some(Lacking::Sentence(code)) => {
                let known = match key.holds {
                    Holds::Code(codes, _) => codes.join(", "),
                    _ => String::new(),
                };
                words::line(code, &[("known", &known)])
            }
            Some(Lacking::What(code)) => say!(
                "setup-refused.lacks",
                feature = self.name,
                option = format!("--{option}"),
                what = words::line(code, &[])
            ),
            None => say!(
                "setup-refused.lacks",
                feature = self.name,
                option = format!("--{option}"),
                what = key.name
            ),
        })
    }
}
