//! Which places of a part are the same, however they are written.

use super::job::{Characteristic, Job};
use super::place::Place;
use super::spread::Turned;
use crate::message::Value;
use crate::units::Entered;

/// Places nearer to each other than this, degrees, say no more of a part than one (common practice, no source).
const NEAR: f64 = 10.0;

/// Whether several places of a part were measured: those across the same diameter count once, as do those of one name.
pub fn are_several(job: &Job) -> bool {
    let turn = turn(&job.characteristic);
    let mut places = job.readings.iter();
    let first = places.next();
    first.is_some_and(|first| places.any(|place| !is_same(first, place, turn)))
}

/// After how many degrees the same is measured again: a wall after a turn, a diameter after half of one.
fn turn(characteristic: &Characteristic) -> f64 {
    match characteristic {
        Characteristic::Feature { feature, .. } if feature.measurand().turned() == Turned::Wall => {
            360.0
        }
        _ => 180.0,
    }
}

fn is_same(one: &Place, other: &Place, turn: f64) -> bool {
    let along = match (&one.along, &other.along) {
        (None, None) => true,
        (Some(one), Some(other)) => is_same_along(one, other),
        _ => return false,
    };
    match (one.angle, other.angle) {
        (Some(one), Some(other)) => {
            let apart = libm::fmod((one - other).abs(), turn);
            along && apart.min(turn - apart) < NEAR
        }
        // Readings of which nothing is said are places of their own.
        (None, None) => along && one.along.is_some(),
        _ => false,
    }
}

/// The same words whatever their letters and blanks, or the same distance.
fn is_same_along(one: &Value, other: &Value) -> bool {
    let (Value::Text(one), Value::Text(other)) = (one, other) else {
        return one == other;
    };
    let length = |text: &str| Some(Entered::parse(text, None).ok()?.value());
    let plain = |text: &str| {
        let words: Vec<&str> = text.split_whitespace().collect();
        words.join(" ").to_lowercase()
    };
    match (length(one), length(other)) {
        (Some(one), Some(other)) => one == other,
        _ => plain(one) == plain(other),
    }
}
