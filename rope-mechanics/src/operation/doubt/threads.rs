//! Runs shared out to threads: the same answers in the same order, whatever their number.

use alloc::vec::Vec;
use core::ops::{ControlFlow, Range};

/// Runs for each thread between two questions whether to go on.
const BATCH: usize = 32;

/// All runs in their order, for as long as `after` says to go on; it is told how many are done.
pub(super) fn each<T: Send, B>(
    runs: usize,
    threads: usize,
    run: &(impl Fn(usize) -> T + Sync),
    mut after: impl FnMut(usize) -> ControlFlow<B>,
) -> ControlFlow<B, Vec<T>> {
    let mut all = Vec::with_capacity(runs);
    while all.len() < runs {
        let from = all.len();
        let to = (from + BATCH * threads.max(1)).min(runs);
        shared(from..to, threads, run, &mut all);
        after(all.len())?;
    }
    ControlFlow::Continue(all)
}

fn alone<T>(runs: Range<usize>, run: &impl Fn(usize) -> T, all: &mut Vec<T>) {
    all.extend(runs.map(run));
}

#[cfg(not(feature = "std"))]
fn shared<T: Send>(runs: Range<usize>, _: usize, run: &(impl Fn(usize) -> T + Sync), all: &mut Vec<T>) {
    alone(runs, run, all);
}

#[cfg(feature = "std")]
fn shared<T: Send>(runs: Range<usize>, threads: usize, run: &(impl Fn(usize) -> T + Sync), all: &mut Vec<T>) {
    if threads < 2 {
        return alone(runs, run, all);
    }
    let share = runs.len().div_ceil(threads);
    std::thread::scope(|scope| {
        let started: Vec<_> = runs
            .clone()
            .step_by(share)
            .map(|from| {
                let part = from..(from + share).min(runs.end);
                let job = part.clone();
                let thread =
                    std::thread::Builder::new().spawn_scoped(scope, move || job.map(run).collect::<Vec<T>>());
                (part, thread)
            })
            .collect();
        for (part, thread) in started {
            // Where there are no threads, and where one gave up, the runs are made here.
            match thread.ok().and_then(|thread| thread.join().ok()) {
                Some(done) => all.extend(done),
                None => alone(part, run, all),
            }
        }
    });
}
