//! All pieces of a file, on all cores, in the order of the file.

use std::path::Path;

use metrology::units::LengthUnit;

use super::alike::Alike;
use super::batch::{Lot, Measured, Whole};
use super::groups::{Group, Groups};
use super::scan::Scan;
use crate::error::Error;
use crate::in_turn::in_turn;
use crate::plan::Plan;

/// Results of a few pieces that stand together.
type Done = Result<Vec<(Measured, Whole)>, Error>;

/// As many results as go from one thread to another at a time.
const TOGETHER: usize = 256;

/// Hands over each result in the order of the file; `whole`: with what it was made of.
pub fn each<E: From<Error>>(
    path: &Path,
    unit: Option<LengthUnit>,
    (plan, scan, lot): (&Plan, &Scan, &Lot<'_>),
    whole: bool,
    mut take: impl FnMut(Measured, Whole) -> Result<(), E>,
) -> Result<(), E> {
    let groups = Groups::of(path, unit, plan, scan)?;
    let worker = || {
        let mut alike = Alike::of(lot);
        let groups = &groups;
        move |part: usize, send: &dyn Fn(Done) -> bool| {
            of_part(groups, part, &mut alike, whole, lot, send)
        }
    };
    in_turn(groups.parts(), worker, |done: Done| {
        let mut done = done?.into_iter();
        done.try_for_each(|(measured, made)| take(measured, made))
    })
}

/// Measures a part of the file and sends the results; whether anybody wants more.
fn of_part(
    groups: &Groups<'_>,
    part: usize,
    alike: &mut Alike<'_>,
    whole: bool,
    lot: &Lot<'_>,
    send: impl Fn(Done) -> bool,
) -> bool {
    let mut batch = Vec::with_capacity(TOGETHER);
    let measured = groups.of_part(part, |group: &Group| {
        let measured = if whole {
            lot.measure(group)
        } else {
            alike.measure(group).map(|measured| (measured, None))
        };
        batch.extend(measured);
        if batch.len() < TOGETHER {
            return Ok(());
        }
        let full = std::mem::replace(&mut batch, Vec::with_capacity(TOGETHER));
        if send(Ok(full)) {
            Ok(())
        } else {
            Err(Stop::Unwanted)
        }
    });
    match measured {
        Ok(()) => send(Ok(batch)),
        Err(Stop::Failed(error)) => {
            send(Err(error));
            false
        }
        Err(Stop::Unwanted) => false,
    }
}

/// Why a part is not read to its end.
enum Stop {
    Failed(Error),
    Unwanted,
}

impl From<Error> for Stop {
    fn from(error: Error) -> Self {
        Self::Failed(error)
    }
}
