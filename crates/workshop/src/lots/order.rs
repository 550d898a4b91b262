//! In which order the characteristics of a lot are measured, so that contacts are changed and the zero is checked least.
//!
//! A set-up that is on the bench measures all pieces of every characteristic that it suits before it is changed: fewer changes
//! than set-ups there cannot be. Held against it is drawing order, piece by piece: each piece through all its characteristics.

/// A characteristic in the order of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// Its place in the plan.
    pub index: usize,
    /// The set-up that it is measured with; none where it needs none.
    pub set_up: Option<Vec<String>>,
}

/// The order of work, and what it spares.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    pub stages: Vec<Stage>,
    /// Set-ups that are put on the bench, and in drawing order piece by piece.
    pub changes: u64,
    pub changes_of_drawing: u64,
    /// Zero checks: an opening and a closing one for each set-up, and those between pieces.
    pub checks: u64,
    pub checks_of_drawing: u64,
}

/// The order of work of so many pieces. Each set-up comes with its first characteristic on the drawing, and what needs none
/// last. `every` pieces the zero is checked.
pub fn order(set_ups: &[Option<Vec<String>>], pieces: u64, every: u64) -> Order {
    let mut stages: Vec<Stage> = Vec::new();
    let stage = |index: usize| Stage {
        index,
        set_up: set_ups.get(index).cloned().flatten(),
    };
    for (index, set_up) in set_ups.iter().enumerate() {
        if set_up.is_none() || stages.iter().any(|one| one.index == index) {
            continue;
        }
        let same = (index..set_ups.len()).filter(|other| set_ups.get(*other) == Some(set_up));
        stages.extend(same.map(stage));
    }
    let rest = (0..set_ups.len()).filter(|index| matches!(set_ups.get(*index), Some(None)));
    stages.extend(rest.map(stage));

    let changes = |order: &[&Vec<String>]| {
        let differ = order
            .windows(2)
            .filter(|two| matches!(two, [one, other] if one != other));
        differ.count() as u64
    };
    let sorted: Vec<&Vec<String>> = stages
        .iter()
        .filter_map(|one| one.set_up.as_ref())
        .collect();
    let drawing: Vec<&Vec<String>> = set_ups.iter().flatten().collect();
    let some = u64::from(!sorted.is_empty());
    let by_work = changes(&sorted) + some;
    // From the last characteristic of a piece to the first of the next.
    let within = changes(&drawing);
    let round = u64::from(drawing.first() != drawing.last());
    let by_drawing = pieces * within + pieces.saturating_sub(1) * round + some;
    // Pieces measured between the changes.
    let measured = sorted.len() as u64 * pieces;
    let between = |set_ups: u64| {
        let each = measured.div_ceil(set_ups.max(1));
        set_ups * each.div_ceil(every.max(1)).saturating_sub(1)
    };
    Order {
        stages,
        changes: by_work,
        changes_of_drawing: by_drawing,
        checks: 2 * by_work + between(by_work),
        checks_of_drawing: 2 * by_drawing + between(by_drawing),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(id: &str) -> Vec<String> {
        vec!["mic-04".to_owned(), id.to_owned()]
    }

    /// Thread, size, thread, by eye, on ten pieces. By drawing each piece changes three times (the third leads back to the
    /// pair that the next one begins with: thread, size, thread): 2 × 10 + 1. By set-up: two.
    #[test]
    fn one_set_up_measures_all_that_it_suits() {
        let told = order(
            &[Some(with("vc")), Some(with("flat")), Some(with("vc")), None],
            10,
            10,
        );
        let stages: Vec<usize> = told.stages.iter().map(|stage| stage.index).collect();
        assert_eq!(stages, [0, 2, 1, 3]);
        assert_eq!((told.changes, told.changes_of_drawing), (2, 21));
        assert!(told.checks < told.checks_of_drawing);
        // Opening and closing of both, and one between the 20 pieces of the pair or, spread evenly, of each.
        assert_eq!(told.checks, 4 + 2);
    }

    #[test]
    fn what_needs_no_set_up_changes_none() {
        let told = order(&[None, None], 10, 10);
        assert_eq!(
            (told.changes, told.changes_of_drawing, told.checks),
            (0, 0, 0)
        );
    }
}
