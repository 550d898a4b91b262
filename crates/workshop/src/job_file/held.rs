//! What a job says of a piece, held against what the register says of it.

use metrology::inspection::keys::{Row, Stated, under};

use crate::register::Equipment;

/// Keys that are held against the register elsewhere, in their own way.
const ELSEWHERE: [&str; 3] = ["id", "state", "members"];

metrology::messages! {
    /// What a job and the register do not agree in.
    pub enum Contradiction "contradiction" {
        /// A value, with both.
        Value "value" { key: String as Text, here: String as Text, there: String as Text },
        /// A key whose values are long.
        Key "key" { key: String as Text },
        /// Several of them.
        And "and" { one: Box<Contradiction> as said, other: Box<Contradiction> as said },
    }
}

impl Contradiction {
    /// This and another one.
    pub fn and(self, other: Self) -> Self {
        Self::And {
            one: Box::new(self),
            other: Box::new(other),
        }
    }
}

/// The keys in which a job contradicts the register, with both values where they are short. What only one of them
/// states contradicts nothing, unless the other states something in its place.
pub fn contradictions(job: &Equipment, register: &Equipment) -> Vec<Contradiction> {
    let mut found = Vec::new();
    hold(
        &job.piece().stated(),
        &register.piece().stated(),
        &mut found,
    );
    found
}

fn hold(job: &[Row], register: &[Row], found: &mut Vec<Contradiction>) {
    for (key, here) in job.iter().filter(|(key, _)| !ELSEWHERE.contains(&key.name)) {
        let name = key.name.to_owned();
        match (here, under(register, key.name)) {
            (Stated::Section(here), Some(Stated::Section(there))) => hold(here, there, found),
            (here, Some(there)) if here.is_same(there) => {}
            (here, Some(there)) => found.push(match (short(here), short(there)) {
                (Some(here), Some(there)) => Contradiction::Value {
                    key: name,
                    here,
                    there,
                },
                _ => Contradiction::Key { key: name },
            }),
            (_, None) => {
                let instead = key.instead.and_then(|other| under(register, other));
                found.extend(instead.map(|_| Contradiction::Key { key: name }));
            }
        }
    }
}

fn short(value: &Stated) -> Option<String> {
    match value {
        Stated::List(_) => None,
        value => value.text(),
    }
}
