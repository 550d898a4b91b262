//! Measuring faces that are not quite flat and parallel, beside an error curve that was taken with whole faces.

use super::approval::{DefaultName, Usual};
use super::equipment::{ContactKind, InstrumentErrors};
use super::job::Job;
use super::model::Quantity;
use super::note::{Named, Note};
use crate::uncertainty::Distribution;

/// What flatness and parallelism of the faces do between part and standard.
///
/// A curve is taken on gauge blocks that cover the faces; a part touches them somewhere else than the standard does. Of
/// faces out of parallel by `t` over their width that is within `± t/2`, and of two faces flat within `f` each within
/// `± f/2` each: `u² = ((t/2)² + f²)/3`. A maximum permissible error holds for any place of the faces (ISO 3611:2010,
/// partial-surface contact error, from memory), and so holds this already. Source:
/// [`Source::Geometry`](crate::source::Source::Geometry).
pub fn faces(job: &Job) -> Named {
    let whole = matches!(
        job.contacts.kind,
        ContactKind::Flat | ContactKind::SmallFlat | ContactKind::Disc
    );
    if !whole || matches!(job.instrument.errors, InstrumentErrors::Within { .. }) {
        return Named::normal(Quantity::Faces, 0.0, 0.0);
    }
    let known = [
        (&job.contacts.flatness, DefaultName::Flatness),
        (&job.contacts.parallelism, DefaultName::Parallelism),
    ]
    .map(|(stated, name)| match stated {
        Some(stated) => (stated.value().mm(), None),
        None => (job.usual(name).value(), Some(job.usual(name))),
    });
    let [(flatness, _), (parallelism, _)] = known;
    // What is neither stated nor approved marks the line; else the line says who approved what was not stated.
    let taken = || known.iter().filter_map(|(_, usual)| usual.as_ref());
    let note = match taken()
        .find(|usual| !usual.is_approved())
        .or_else(|| taken().next())
    {
        None => Note::Faces {
            flatness,
            parallelism,
        },
        Some(usual) => usual.note(Note::FacesUsual {
            flatness,
            parallelism,
        }),
    };
    let within = Distribution::Rectangular {
        half_width: libm::hypot(parallelism / 2.0, flatness),
    };
    Named::new(Quantity::Faces, 0.0, within)
        .noted(note)
        .resting_on(taken().map(Usual::name))
}
