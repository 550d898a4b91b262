//! All pieces of a file, on all cores, in the order of the file.

use std::num::NonZeroUsize;
use std::path::Path;
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

use metrology::inspection::{Inspection, Job};
use metrology::units::LengthUnit;

use super::alike::Alike;
use super::batch::{Lot, Measured};
use super::groups::{Group, Groups};
use super::scan::Scan;
use crate::error::Error;
use crate::plan::Plan;

/// What a result was made of; none where it is not asked for, or there is no size.
pub type Whole = Option<(Job, Inspection)>;

/// Results of a few pieces that stand together.
type Done = Result<Vec<(Measured, Whole)>, Error>;

/// As many results as go from one thread to another at a time.
const TOGETHER: usize = 256;

/// Hands over each result in the order of the file; `whole`: with what it was made of.
///
/// The parts of the file go round the threads in turn and are fetched in the same turn, so that the results keep their order;
/// a thread waits where its results are not fetched, so that memory stays flat.
pub fn each<E: From<Error>>(
    path: &Path,
    unit: Option<LengthUnit>,
    (plan, scan, lot): (&Plan, &Scan, &Lot<'_>),
    whole: bool,
    mut take: impl FnMut(Measured, Whole) -> Result<(), E>,
) -> Result<(), E> {
    let groups = Groups::of(path, unit, plan, scan)?;
    let groups = &groups;
    let threads = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let threads = threads.min(groups.parts());
    thread::scope(|scope| {
        let workers: Vec<Receiver<Done>> = (0..threads)
            .map(|first| {
                let (to, from) = sync_channel(4);
                let parts = (first..groups.parts()).step_by(threads);
                scope.spawn(move || {
                    let mut alike = Alike::of(lot);
                    for part in parts {
                        let sent = of_part(groups, part, &mut alike, whole, lot, |done| {
                            to.send(done).is_ok()
                        });
                        if !sent {
                            return;
                        }
                    }
                });
                from
            })
            .collect();
        for (_, from) in (0..groups.parts()).zip(workers.iter().cycle()) {
            // An empty batch ends a part; a thread that has gone has failed, which shows when it is joined.
            while let Ok(done) = from.recv() {
                let done = done?;
                if done.is_empty() {
                    break;
                }
                for (measured, made) in done {
                    take(measured, made)?;
                }
            }
        }
        Ok(())
    })
}

/// Measures a part of the file and sends the results, and an empty batch at its end; whether anybody wants more.
fn of_part(
    groups: &Groups<'_>,
    part: usize,
    alike: &mut Alike<'_>,
    whole: bool,
    lot: &Lot<'_>,
    send: impl Fn(Done) -> bool,
) -> bool {
    let mut batch = Vec::with_capacity(TOGETHER);
    let measured = groups.of_part(part, |group: Group| {
        let measured = if whole {
            lot.measure(&group)
        } else {
            alike.measure(&group).map(|measured| (measured, None))
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
        Ok(()) => (batch.is_empty() || send(Ok(batch))) && send(Ok(Vec::new())),
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
