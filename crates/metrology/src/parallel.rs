//! The same work on all cores, with results that do not depend on how many there are.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Does `job` for every item on so many threads; results in the order of the items.
pub fn in_order<T: Sync, R: Send>(
    threads: NonZeroUsize,
    items: &[T],
    job: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(index) else {
                return done;
            };
            done.push((index, job(item)));
        }
    };
    let threads = threads.get().min(items.len().max(1));
    let mut done = thread::scope(|scope| {
        // This thread works too.
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut done = work();
        for other in others {
            match other.join() {
                Ok(part) => done.extend(part),
                Err(cause) => std::panic::resume_unwind(cause),
            }
        }
        done
    });
    done.sort_unstable_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, result)| result).collect()
}
