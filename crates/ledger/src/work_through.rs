//! Many entries on several threads, with the answers in their order.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread::{self, ScopedJoinHandle};

/// Does `work` on every item on so many threads, and `meanwhile` on this one.
///
/// Each thread takes the next item when it is done with one, so that a slow one holds up nobody.
pub(crate) fn work_through<T: Sync, A: Send, M>(
    items: &[T],
    threads: usize,
    work: impl Fn(&T) -> A + Sync,
    meanwhile: impl FnOnce() -> M,
) -> (Vec<A>, M) {
    let next = AtomicUsize::new(0);
    let take_turns = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(index) else {
                return done;
            };
            done.push((index, work(item)));
        }
    };
    thread::scope(|scope| {
        let workers: Vec<_> = (0..threads.min(items.len()))
            .map(|_| scope.spawn(take_turns))
            .collect();
        let met = meanwhile();
        let mut answers: Vec<_> = workers.into_iter().flat_map(joined).collect();
        answers.sort_unstable_by_key(|(index, _)| *index);
        (answers.into_iter().map(|(_, answer)| answer).collect(), met)
    })
}

/// What a thread did. A panic in it is the caller's own, and goes on to the caller.
fn joined<T>(worker: ScopedJoinHandle<'_, T>) -> T {
    worker
        .join()
        .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_come_in_order() {
        let items: Vec<usize> = (0..1000).collect();
        for threads in [1, 2, 7] {
            let (answers, met) = work_through(&items, threads, |item| item * 2, || "met");
            assert_eq!(answers, (0..2000).step_by(2).collect::<Vec<_>>());
            assert_eq!(met, "met");
        }
        assert!(work_through(&[0; 0], 2, |item| *item, || ()).0.is_empty());
    }
}
