//! Numbered parts of a piece of work on all cores, what they give in the order of the parts.

use std::num::NonZeroUsize;
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

/// As much as waits of each thread until it is fetched.
const WAITING: usize = 4;

/// Hands over what each part gives, in order, on the calling thread.
///
/// The parts go round the threads in turn and are fetched in the same turn; a thread waits where what it gave is not fetched,
/// so that memory stays flat. `worker` is called once on each thread and makes what works on a part: it sends as much as it
/// likes and says whether to go on.
pub fn in_turn<T, W, E>(
    parts: usize,
    worker: impl Fn() -> W + Sync,
    mut take: impl FnMut(T) -> Result<(), E>,
) -> Result<(), E>
where
    T: Send,
    W: FnMut(usize, &dyn Fn(T) -> bool) -> bool,
{
    let threads = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    let threads = threads.min(parts);
    thread::scope(|scope| {
        let workers: Vec<Receiver<Option<T>>> = (0..threads)
            .map(|first| {
                let (to, from) = sync_channel(WAITING);
                let worker = &worker;
                scope.spawn(move || {
                    let mut work = worker();
                    for part in (first..parts).step_by(threads) {
                        let goes_on = work(part, &|one| to.send(Some(one)).is_ok());
                        if !goes_on || to.send(None).is_err() {
                            return;
                        }
                    }
                });
                from
            })
            .collect();
        for (_, from) in (0..parts).zip(workers.iter().cycle()) {
            // A thread that has gone without the end of a part has failed, which shows when it is joined.
            while let Ok(Some(one)) = from.recv() {
                take(one)?;
            }
        }
        Ok(())
    })
}
