//! Readings put together by what stands beside them.

use std::collections::BTreeMap;

/// Things by name, in the order in which the names first came.
pub(super) fn grouped<T>(names: Vec<String>, values: Vec<T>) -> Vec<(String, Vec<T>)> {
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut groups: Vec<(String, Vec<T>)> = Vec::new();
    for (name, value) in names.into_iter().zip(values) {
        let place = *places.entry(name.clone()).or_insert_with(|| {
            groups.push((name, Vec::new()));
            groups.len() - 1
        });
        if let Some((_, group)) = groups.get_mut(place) {
            group.push(value);
        }
    }
    groups
}
